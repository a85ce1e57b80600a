import { useSignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { remove, type Kind } from './save.ts'
import { sayWith } from '../parts/say-with.ts'

interface Thing {
  readonly id: string
  readonly name: string
}

/** A list of places, sensors or animals: each line opens its form in place, and one more form makes a new one. */
export function ThingList<T extends Thing>({
  title,
  kind,
  things,
  about,
  more,
  form,
  addWords,
  emptyWords,
}: {
  title: string
  kind: Kind
  things: readonly T[]
  about: (thing: T) => string
  /** What else leads on from its line. */
  more?: (thing: T) => ComponentChildren
  form: (thing: T | null, onDone: () => void) => ComponentChildren
  /** No way to make one here when null. */
  addWords: string | null
  emptyWords: string
}) {
  const open = useSignal<string | null>(null)
  const isAdding = useSignal(false)
  return (
    <section class="part" aria-labelledby={`part-${kind}`}>
      <h2 id={`part-${kind}`}>{title}</h2>
      {things.length === 0 && <p class="soft">{emptyWords}</p>}
      <ul class="things">
        {things.map((thing) => (
          <li key={thing.id}>
            <ThingLine
              thing={thing}
              kind={kind}
              about={about(thing)}
              more={more?.(thing)}
              isOpen={open.value === thing.id}
              onToggle={() => (open.value = open.value === thing.id ? null : thing.id)}
            />
            {open.value === thing.id && form(thing, () => (open.value = null))}
          </li>
        ))}
      </ul>
      {addWords !== null && (
        <button
          type="button"
          aria-expanded={isAdding.value}
          onClick={() => (isAdding.value = !isAdding.value)}
        >
          {addWords}
        </button>
      )}
      {isAdding.value && form(null, () => (isAdding.value = false))}
    </section>
  )
}

function ThingLine({
  thing,
  kind,
  about,
  more,
  isOpen,
  onToggle,
}: {
  thing: Thing
  kind: Kind
  about: string
  more: ComponentChildren
  isOpen: boolean
  onToggle: () => void
}) {
  const page = usePage()
  const act = useAct()
  return (
    <div class="thing">
      <p>
        <strong>{thing.name}</strong> <span class="soft">{about}</span>
      </p>
      <div class="thing-acts">
        {more}
        <button type="button" class="quiet" aria-expanded={isOpen} onClick={onToggle}>
          {sayWith('Change{unseen}', { unseen: <span class="unseen"> {thing.name}</span> })}
        </button>
        <button
          type="button"
          class="quiet"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => remove(page, kind, thing))}
        >
          {sayWith('Remove{unseen}', { unseen: <span class="unseen"> {thing.name}</span> })}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
