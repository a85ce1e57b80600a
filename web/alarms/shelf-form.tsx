import { useSignal } from '@preact/signals'
import { say } from '../../shared/words/say.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Answer } from '../page/ask.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'

/** How long an alarm is set aside, and why: both are needed (A2). */
export function ShelfForm({
  label,
  hint,
  minutes,
  shelve,
  onDone,
}: {
  /** For who hears the form; what stands before it says it to the others. */
  label?: string
  hint: string | null
  /** To choose from. */
  minutes: readonly number[]
  shelve: (minutes: number, reason: string) => Promise<Answer<unknown>>
  onDone?: () => void
}) {
  const act = useAct()
  const chosen = useSignal('30')
  const reason = useSignal('')
  const problem = act.problem.value
  return (
    <form
      class="alarm-form"
      aria-label={label}
      onSubmit={(event) => {
        event.preventDefault()
        void act.run(() => shelve(Number(chosen.value), reason.value.trim()), onDone)
      }}
    >
      <ChoiceField
        label={say('For')}
        field="minutes"
        {...(hint === null ? {} : { hint })}
        problem={problem}
        value={chosen.value}
        onValue={(value) => (chosen.value = value)}
        choices={minutes.map((one) => ({ value: String(one), label: durationWords(one * 60_000) }))}
      />
      <TextField
        label={say('Reason')}
        field="reason"
        hint={say('Stands in the journal.')}
        required
        maxLength={300}
        problem={problem}
        value={reason.value}
        onValue={(value) => (reason.value = value)}
      />
      <ProblemNote problem={problem} fields={['minutes', 'reason']} />
      <button type="submit" disabled={act.isBusy.value}>
        {say('Shelve it')}
      </button>
    </form>
  )
}
