import type { ComponentChildren } from 'preact'
import { ProblemNote } from '../parts/problem-note.tsx'
import type { Act } from '../parts/use-act.ts'

/** The frame of every form before the dashboard: fields, the daemon's answer, one button. */
export function DoorForm({
  act,
  fields,
  words,
  onSubmit,
  children,
}: {
  act: Act
  fields: readonly string[]
  words: string
  onSubmit: () => void
  children: ComponentChildren
}) {
  return (
    <form
      class="door"
      onSubmit={(event) => {
        event.preventDefault()
        onSubmit()
      }}
    >
      {children}
      <ProblemNote problem={act.problem.value} fields={fields} />
      <button type="submit" class="strong" disabled={act.isBusy.value}>
        {words}
      </button>
    </form>
  )
}
