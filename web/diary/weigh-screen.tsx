import { useSignal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { DayList } from '../../schemas/season.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { NoAnimals } from '../animals/no-animals.tsx'
import { useFollowed } from './use-followed.ts'
import { useScaleStep, useWeighNotes } from './weigh-notes.ts'
import { lastMasses, weighOrder } from './weigh-order.ts'
import { weighFieldId, WeighRow } from './weigh-row.tsx'
import { say } from '../../shared/words/say.ts'

/** Weigh-ins looked through for the last of each animal: half a year of weekly ones in a house of twenty. */
const lines = 500
/** How long the sheet waits for them, in ms: without a network it is filled in all the same. */
const patienceMs = 1500

/** Every animal with a field: a whole fridge is weighed without going back. */
export function WeighScreen() {
  const { household } = usePage()
  const home = household.value
  return (
    <Screen title={say('Weigh')} heading={say('Weigh')}>
      {home === null ? (
        <Skeleton shape="lines" />
      ) : home.animals.length === 0 ? (
        <NoAnimals />
      ) : (
        <WeighSheet />
      )}
    </Screen>
  )
}

function WeighSheet() {
  const page = usePage()
  const weighIns = useFollowed<DiaryLine[]>(`/api/diary?kind=weighed&limit=${lines}`)
  const day = useFollowed<DayList>('/api/day?days=1')
  const notes = useWeighNotes()
  const scale = useScaleStep()
  const open = useSignal<string | null>(null)
  const done = useSignal<ReadonlySet<string>>(new Set())
  const order = useSignal<readonly string[] | null>(null)
  const isLate = useSignal(false)
  const end = useRef<HTMLParagraphElement>(null)

  const animals = page.household.value?.animals ?? []
  const known = weighIns.value.value
  const last = useMemo(() => lastMasses(known ?? []), [known])
  const due = new Set(
    (day.value.value?.due ?? []).flatMap(({ kind, animal }) =>
      kind === 'weigh' && animal !== undefined ? [animal as string] : [],
    ),
  )
  // The sheet keeps its order while one weighs: nothing moves under the finger
  const isKnown =
    (known ?? weighIns.problem.value) !== null && (day.value.value ?? day.problem.value) !== null
  const isReady = isKnown || isLate.value
  useEffect(() => {
    const timer = setTimeout(() => (isLate.value = true), patienceMs)
    return () => clearTimeout(timer)
  }, [])
  useEffect(() => {
    if (order.value === null && isReady) order.value = weighOrder(animals, last, due, page.now.peek())
  }, [isReady])
  if (order.value === null) return <Skeleton shape="lines" />

  const ids = order.value
  const rows = [...animals].sort((a, b) => placeIn(ids, a.id) - placeIn(ids, b.id))
  const next = (after: string, without: ReadonlySet<string>): void => {
    const from = rows.findIndex(({ id }) => id === after)
    const following = [...rows.slice(from + 1), ...rows.slice(0, from)].find(({ id }) => !without.has(id))
    if (following === undefined) {
      open.value = null
      end.current?.focus()
    } else document.getElementById(weighFieldId(following.id))?.focus()
  }
  const isAllDone = rows.every(({ id }) => done.value.has(id))

  return (
    <>
      <ProblemNote problem={weighIns.problem.value} />
      <ul class="weigh-sheet" aria-label={say('Animals to weigh')}>
        {rows.map((animal) => (
          <WeighRow
            key={animal.id}
            animal={animal}
            last={last.get(animal.id)?.[0] ?? null}
            isLastKnown={known !== null}
            isDue={due.has(animal.id)}
            isOpen={open.value === animal.id}
            isDone={done.value.has(animal.id)}
            note={notes.notes.value[animal.id] ?? null}
            scaleStep={scale.step.value}
            onOpen={() => (open.value = animal.id)}
            onNote={(note) => notes.keep(animal.id, note)}
            onSaved={() => {
              done.value = new Set([...done.value, animal.id])
              next(animal.id, done.value)
            }}
            onUndone={() => (done.value = new Set([...done.value].filter((id) => id !== animal.id)))}
            onChange={() => {
              weighIns.again()
              day.again()
            }}
          />
        ))}
      </ul>
      <p class="weigh-end" ref={end} tabIndex={-1}>
        {isAllDone ? say('All weighed. ') : ''}
        <Link to="/animals">{say('See the animals')}</Link>
      </p>
      <div class="weigh-scale">
        <ChoiceField
          label={say('The scale shows steps of')}
          field="scaleStep"
          hint={say('Kept on this device, and noted with each weigh-in.')}
          value={String(scale.step.value ?? '')}
          onValue={(value) => scale.keep(value === '' ? null : Number(value))}
          choices={[
            { value: '', label: say('not said') },
            ...scaleSteps.map((step) => ({ value: String(step), label: page.tell.mass(step) })),
          ]}
        />
      </div>
    </>
  )
}

/** Those of common scales, g. */
const scaleSteps = [0.01, 0.1, 0.5, 1, 2, 5, 10, 50] as const

/** Who was added while one weighs comes last. */
const placeIn = (order: readonly string[], id: string): number => {
  const at = order.indexOf(id)
  return at === -1 ? order.length : at
}
