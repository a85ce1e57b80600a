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

/** Live food: how long it lasts, and what was counted, added and taken. */
export function FoodPart({ cultures, onChange }: { cultures: readonly CultureNow[]; onChange: () => void }) {
  if (cultures.length === 0) return null
  return (
    <section class="part" aria-labelledby="day-food">
      <h2 id="day-food" tabIndex={-1}>
        Live food
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
              {tell.plain(weeksLeft, 1)} {weeksLeft.toFixed(1) === '1.0' ? 'week' : 'weeks'} left
            </strong>
          )}
          {orderBy !== null && (
            <span class={isLow ? 'day-late' : 'soft'}>
              {isLow ? 'order now' : `order by ${tell.date(orderBy)}`}
            </span>
          )}
        </p>
        <p>{sentence}</p>
        {warmth !== null && (
          <details class="day-source">
            <summary>
              {held(
                `${warmthName[warmth.standing]}: ${tell.value(warmth.celsius, 'temperature')} in the last week.`,
              )}
            </summary>
            <p>
              {warmth.sentence} {slowerWords(warmth)}
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
  { kind: 'counted', word: 'Counted' },
  { kind: 'added', word: 'Added' },
  { kind: 'taken', word: 'Taken' },
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
      said.value = `Type how many ${unitName[unit]} first.`
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
      () => keep.save(entry, `Noted of ${name}: ${kind} ${amount} ${unitName[unit]}.`, { onChange }),
      () => (typed.value = ''),
    )
  }

  return (
    <div class="day-stock" role="group" aria-label={`Stock of ${name}`}>
      <NumberField
        label={`How many ${unitName[unit]}`}
        unit={unit === 'grams' ? 'g' : ''}
        value={typed.value}
        onValue={(value) => (typed.value = value)}
      />
      <div class="day-acts">
        {acts.map(({ kind, word }) => (
          <button key={kind} type="button" disabled={act.isBusy.value} onClick={() => note(kind)}>
            {word}
            <span class="unseen"> of {name}</span>
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
