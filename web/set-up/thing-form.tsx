import type { ComponentChildren } from 'preact'
import type { Act } from '../parts/use-act.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { say } from '../../shared/words/say.ts'

/** The frame of every form here: fields, the daemon's answer, save and cancel. What was typed stays until it is saved. */
export function ThingForm({
  label,
  act,
  fields,
  saveWords = say('Save'),
  onSave,
  onCancel,
  children,
}: {
  label: string
  act: Act
  fields: readonly string[]
  saveWords?: string
  onSave: () => void
  onCancel?: () => void
  children: ComponentChildren
}) {
  return (
    <form
      class="thing-form"
      aria-label={label}
      onSubmit={(event) => {
        event.preventDefault()
        onSave()
      }}
    >
      {children}
      <ProblemNote problem={act.problem.value} fields={fields} />
      <div class="form-acts">
        <button type="submit" class="strong" disabled={act.isBusy.value}>
          {saveWords}
        </button>
        {onCancel !== undefined && (
          <button type="button" class="quiet" onClick={onCancel}>
            {say('Cancel')}
          </button>
        )}
      </div>
    </form>
  )
}
