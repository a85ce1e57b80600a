import { useSignal } from '@preact/signals'
import type { Alarm } from '../../schemas/alarm.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { askAbout } from './ask-about.ts'
import { shelfMinutes } from './shelf-minutes.ts'
import { say } from '../../shared/words/say.ts'

/** Sets an alarm aside for a while: an end and a reason are needed (A2). */
export function ShelveForm({ alarm, onDone }: { alarm: Alarm; onDone: () => void }) {
  const { ask } = usePage()
  const act = useAct()
  const minutes = useSignal('30')
  const reason = useSignal('')
  const problem = act.problem.value
  return (
    <form
      class="alarm-form"
      onSubmit={(event) => {
        event.preventDefault()
        const given = { minutes: Number(minutes.value), reason: reason.value.trim() }
        void act.run(() => askAbout(ask, alarm, 'shelve', given), onDone)
      }}
    >
      <ChoiceField
        label={say('For')}
        field="minutes"
        {...(alarm.priority === 'high' ? { hint: say('High alarms: 1 h at most.') } : {})}
        problem={problem}
        value={minutes.value}
        onValue={(value) => (minutes.value = value)}
        choices={shelfMinutes(alarm.priority).map((min) => ({
          value: String(min),
          label: durationWords(min * 60_000),
        }))}
      />
      <TextField
        label={say('Reason')}
        field="reason"
        hint={say('Stands in the journal.')}
        required
        maxLength={200}
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
