import { useSignal } from '@preact/signals'
import type { Alarm } from '../../schemas/alarm.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { askAbout } from './ask-about.ts'
import { say } from '../../shared/words/say.ts'

/** Takes an alarm out of service until a person puts it back. */
export function OutOfServiceForm({ alarm, onDone }: { alarm: Alarm; onDone: () => void }) {
  const { ask } = usePage()
  const act = useAct()
  const reason = useSignal('')
  const problem = act.problem.value
  return (
    <form
      class="alarm-form"
      onSubmit={(event) => {
        event.preventDefault()
        void act.run(() => askAbout(ask, alarm, 'out-of-service', { reason: reason.value.trim() }), onDone)
      }}
    >
      <TextField
        label={say('Reason')}
        field="reason"
        hint={say('Nobody is told about this any more until you put it back in service.')}
        required
        maxLength={200}
        problem={problem}
        value={reason.value}
        onValue={(value) => (reason.value = value)}
      />
      <ProblemNote problem={problem} fields={['reason']} />
      <button type="submit" disabled={act.isBusy.value}>
        {say('Take out of service')}
      </button>
    </form>
  )
}
