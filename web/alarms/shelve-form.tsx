import type { Alarm } from '../../schemas/alarm.ts'
import { say } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'
import { askAbout } from './ask-about.ts'
import { ShelfForm } from './shelf-form.tsx'
import { shelfMinutes } from './shelf-minutes.ts'

/** Sets an alarm aside for a while. */
export function ShelveForm({ alarm, onDone }: { alarm: Alarm; onDone: () => void }) {
  const { ask } = usePage()
  return (
    <ShelfForm
      hint={alarm.priority === 'high' ? say('High alarms: 1 h at most.') : null}
      minutes={shelfMinutes(alarm.priority)}
      shelve={(minutes, reason) => askAbout(ask, alarm, 'shelve', { minutes, reason })}
      onDone={onDone}
    />
  )
}
