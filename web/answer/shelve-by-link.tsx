import { useSignal } from '@preact/signals'
import { durationWords } from '../../shared/telling/words.ts'
import { shelfMinutesUpTo } from '../alarms/shelf-minutes.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import type { Answering } from './answering.ts'
import { say } from '../../shared/words/say.ts'

/** Sets the alarm aside by the link of a message; only a keeper's link offers it (A2). `longest` in ms. */
export function ShelveByLink({ answering, longest }: { answering: Answering; longest: number }) {
  const act = useAct()
  const minutes = useSignal('30')
  const reason = useSignal('')
  const problem = act.problem.value
  return (
    <details class="answer-part">
      <summary>{say('Shelve it for a while')}</summary>
      <form
        class="alarm-form"
        aria-label={say('Shelve it for a while')}
        onSubmit={(event) => {
          event.preventDefault()
          void act.run(() => answering.shelve(Number(minutes.value), reason.value.trim()))
        }}
      >
        <ChoiceField
          label={say('For')}
          field="minutes"
          hint={say('At most {duration}. Nobody is told until then, whatever happens.', {
            duration: durationWords(longest),
          })}
          problem={problem}
          value={minutes.value}
          onValue={(value) => (minutes.value = value)}
          choices={shelfMinutesUpTo(longest).map((min) => ({
            value: String(min),
            label: durationWords(min * 60_000),
          }))}
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
    </details>
  )
}
