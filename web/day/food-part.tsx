import { useSignal } from '@preact/signals'
import type { CultureNow } from '../../schemas/culture.ts'
import type { DiaryNote } from '../../schemas/diary.ts'
import { instant } from '../../schemas/amounts.ts'
import { decimalOf } from '../diary/decimal.ts'
import { freshEntryId } from '../diary/entry-id.ts'
import { NumberField } from '../diary/number-field.tsx'
import { useKeepEntry } from '../diary/use-keep-entry.ts'
import { pathOfPlace } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { foodName, slowerWords, unitName, warmthName } from '../words/culture-words.ts'
import { held } from '../words/held.ts'
import { evidenceName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

/** Live food: how long it lasts, and what was counted, added and taken. */
export function FoodPart({ cultures, onChange }: { cultures: readonly CultureNow[]; onChange: () => void }) {
  if (cultures.length === 0) return null
  return (
    <section class="part" aria-labelledby="day-food">
      <h2 id="day-food" tabIndex={-1}>
        {say('Live food')}
      </h2>
      <ul class="day-food">
        {cultures.map((culture) => (
          <FoodLine key={culture.place} culture={culture} onChange={onChange} />
        ))}
      </ul>
    </section>
  )
}

function FoodLine({ culture, onChange }: { culture: CultureNow; onChange: () => void }) {
  const { tell } = usePage()
  const { name, food, weeksLeft, orderBy, isLow, warmth, sentence } = culture
  return (
    <li class={isLow ? 'day-line is-late' : 'day-line'}>
      <div>
        <h3>
          <Link to={pathOfPlace(culture.place)}>{name}</Link>
        </h3>
        <p class="day-weeks">
          <span class="soft">{foodName[food]}</span>
          {weeksLeft !== null && (
            <strong>
              {say('{plain} {part} left', {
                plain: tell.plain(weeksLeft, 1),
                part: weeksLeft.toFixed(1) === '1.0' ? 'week' : 'weeks',
              })}
            </strong>
          )}
          {orderBy !== null && (
            <span class={isLow ? 'day-late' : 'soft'}>
              {isLow ? say('order now') : say('order by {date}', { date: tell.date(orderBy) })}
            </span>
          )}
        </p>
        <p>{held(sentence)}</p>
        {warmth !== null && (
          <details class="day-source">
            <summary>
              {held(
                say('{part}: {value} in the last week.', {
                  part: warmthName[warmth.standing],
                  value: tell.value(warmth.celsius, 'temperature'),
                }),
              )}
            </summary>
            <p>
              {held(warmth.sentence)} {slowerWords(warmth)}
            </p>
            <p class="hint">
              {warmth.source} ({evidenceName[warmth.evidence]})
            </p>
          </details>
        )}
        <StockForm culture={culture} onChange={onChange} />
      </div>
    </li>
  )
}

type StockKind = 'counted' | 'added' | 'taken'

const acts: readonly { readonly kind: StockKind; readonly word: string }[] = [
  { kind: 'counted', word: say('Counted') },
  { kind: 'added', word: say('Added') },
  { kind: 'taken', word: say('Taken') },
]

function StockForm({ culture, onChange }: { culture: CultureNow; onChange: () => void }) {
  const { now } = usePage()
  const act = useAct()
  const keep = useKeepEntry()
  const typed = useSignal('')
  const said = useSignal('')
  const { name, place, unit } = culture

  const note = (kind: StockKind): void => {
    const amount = decimalOf(typed.value)
    if (amount === null || (amount === 0 && kind !== 'counted')) {
      said.value = say('Type how many {part} first.', { part: unitName[unit] })
      return
    }
    said.value = ''
    const entry = {
      id: freshEntryId(),
      at: instant(now.value),
      place,
      note: { kind, amount } satisfies DiaryNote,
    }
    void act.run(
      () =>
        keep.save(
          entry,
          say('Noted of {name}: {kind} {amount} {part}.', { name, kind, amount, part: unitName[unit] }),
          { onChange },
        ),
      () => (typed.value = ''),
    )
  }

  return (
    <div class="day-stock" role="group" aria-label={say('Stock of {name}', { name })}>
      <NumberField
        label={say('How many {part}', { part: unitName[unit] })}
        unit={unit === 'grams' ? 'g' : ''}
        value={typed.value}
        onValue={(value) => (typed.value = value)}
      />
      <div class="day-acts">
        {acts.map(({ kind, word }) => (
          <button key={kind} type="button" disabled={act.isBusy.value} onClick={() => note(kind)}>
            {word}
            <span class="unseen">{say(' of {name}', { name })}</span>
          </button>
        ))}
      </div>
      <p class="hint" role="status">
        {said}
      </p>
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
