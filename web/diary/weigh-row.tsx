import { useSignal } from '@preact/signals'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryEntry } from '../../schemas/diary.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { isSilence } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { daysAgoWords } from '../words/ago.ts'
import { isDown } from '../words/animal-words.ts'
import { kilosFrom } from '../words/tell.ts'
import { Choices } from './choices.tsx'
import { gramsOf } from './decimal.ts'
import { freshEntryId } from './entry-id.ts'
import { isImplausible } from './plausible.ts'
import { useKeepEntry } from './use-keep-entry.ts'
import type { WeighNote } from './weigh-notes.ts'
import type { LastMass } from './weigh-order.ts'
import { say } from '../../shared/words/say.ts'

export const weighFieldId = (animal: string): string => `weigh-${animal}`

/** One animal of the sheet: a tap anywhere on it brings the field, the number, Save. */
export function WeighRow({
  animal,
  last,
  isLastKnown,
  isDue,
  isOpen,
  isDone,
  note,
  scaleStep,
  onOpen,
  onNote,
  onSaved,
  onUndone,
  onChange,
}: {
  animal: Animal
  last: LastMass | null
  isLastKnown: boolean
  isDue: boolean
  isOpen: boolean
  isDone: boolean
  note: WeighNote | null
  scaleStep: number | null
  onOpen: () => void
  onNote: (note: WeighNote | null) => void
  onSaved: () => void
  onUndone: () => void
  onChange: () => void
}) {
  const page = usePage()
  const { names } = useWords()
  const { tell } = page
  const act = useAct()
  const keeping = useKeepEntry()
  const asks = useSignal(false)
  const isMissing = useSignal(false)
  const id = weighFieldId(animal.id)
  const { phase } = phaseAt(animal, instant(page.now.value))
  const isInKilos = last !== null && last.grams >= kilosFrom
  const typed = note?.typed ?? ''
  const grams = gramsOf(typed, isInKilos)
  const noted = (change: Partial<WeighNote>): WeighNote => ({
    ...(note ?? { id: freshEntryId(), at: null, typed: '', box: null }),
    ...change,
  })
  const problem = act.problem.value

  const save = (): void => {
    asks.value = false
    if (grams === null) return
    const kept = noted({ at: note?.at ?? Math.round(page.now.peek()) })
    onNote(kept)
    const entry: DiaryEntry = {
      id: kept.id,
      at: instant(kept.at ?? 0),
      animal: animal.id,
      note: {
        kind: 'weighed',
        grams,
        ...(scaleStep !== null && { scaleStep }),
        ...(kept.box !== null && { box: kept.box }),
      },
    }
    void act.run(
      () =>
        keeping.save(entry, say('{animal}: {mass} noted.', { animal: animal.name, mass: tell.mass(grams) }), {
          onChange,
          onUndone,
        }),
      () => {
        onNote(null)
        onSaved()
      },
    )
  }
  const onSave = (event: Event): void => {
    event.preventDefault()
    isMissing.value = grams === null
    if (grams === null) document.getElementById(id)?.focus()
    else if (last !== null && isImplausible(grams, last.grams)) asks.value = true
    else save()
  }

  return (
    <li class={`weigh-row ${isOpen ? 'is-open' : ''} ${isDone ? 'is-done' : ''}`}>
      <form noValidate onSubmit={onSave}>
        <label htmlFor={id}>
          <span class="weigh-name">
            {animal.name}
            {isDue && !isDone && <span class="weigh-due">{say(' due')}</span>}
            {isDone && <span class="weigh-due">{say(' noted')}</span>}
          </span>
          <span class="soft weigh-last">
            {last === null
              ? isLastKnown
                ? say('never weighed')
                : say('last mass not known')
              : `${tell.mass(last.grams)}, ${daysAgoWords(page.now.value - last.at)}`}
            {' · '}
            {phaseWord[phase]}
            {animal.place !== null && `, ${names.place(animal.place)}`}
          </span>
        </label>
        <div class="weigh-enter">
          <input
            id={id}
            type="text"
            inputMode="decimal"
            autoComplete="off"
            enterKeyHint="done"
            maxLength={12}
            value={typed}
            aria-describedby={`${id}-unit`}
            aria-invalid={isMissing.value && grams === null}
            onFocus={onOpen}
            // Another number is another weighing: its hour is the next try's
            onInput={(event) => onNote(noted({ typed: event.currentTarget.value, at: null }))}
          />
          <span id={`${id}-unit`}>
            {isInKilos ? 'kg' : 'g'}
            <span class="unseen">{isInKilos ? 'kilograms' : 'grams'}</span>
          </span>
          {isOpen && (
            <button type="submit" class="strong" aria-disabled={act.isBusy.value}>
              {act.isBusy.value ? 'Saving …' : problem !== null ? say('Save again') : say('Save')}
            </button>
          )}
        </div>
        {isMissing.value && grams === null && (
          <p class="field-error" role="alert">
            {say('Type what the scale shows, as 812 or 81.5.')}
          </p>
        )}
        {asks.value && grams !== null && last !== null && (
          <Question
            question={say('Really {mass}? Last time {mass2}.', {
              mass: tell.mass(grams),
              mass2: tell.mass(last.grams),
            })}
            yes={say('Save {mass}', { mass: tell.mass(grams) })}
            no={say('Correct it')}
            isBusy={act.isBusy.value}
            onYes={save}
            onNo={() => {
              asks.value = false
              document.getElementById(id)?.focus()
            }}
          />
        )}
        {problem !== null && <ProblemNote problem={problem} />}
        {problem !== null && isSilence(problem) && (
          <p class="hint">{say('The number is kept here. Save it again once Brumal answers.')}</p>
        )}
        {isOpen && isDown(phase) && (
          <Choices
            isSmall
            legend={say('Its box is')}
            value={note?.box ?? null}
            options={boxOptions}
            onValue={(box) => onNote(noted({ box }))}
          />
        )}
      </form>
    </li>
  )
}

const boxOptions = [
  { value: 'dry', label: say('dry') },
  { value: 'wet', label: say('wet') },
] as const
