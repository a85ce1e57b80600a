import type { Alarm } from '../../schemas/alarm.ts'
import { AlarmLine } from '../alarms/alarm-line.tsx'
import { Link } from '../parts/link.tsx'
import { isSetAside } from '../words/alarm-words.ts'
import { byPriority } from '../words/worst-of.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** What needs a hand, on top; what has been set aside is counted, so that nobody forgets it. */
export function StandingAlarms({ alarms }: { alarms: readonly Alarm[] }) {
  const shown = alarms.filter((alarm) => !isSetAside(alarm)).sort(byPriority)
  const aside = alarms.length - shown.length
  if (alarms.length === 0) return null
  return (
    <section class="standing" aria-label={say('Standing alarms')}>
      {shown.length > 0 && (
        <ul class="alarm-list">
          {shown.map((alarm) => (
            <li key={alarm.id}>
              <AlarmLine alarm={alarm} />
            </li>
          ))}
        </ul>
      )}
      {aside > 0 && (
        <p class="aside">
          {sayWith('{part} shelved, hidden or out of service. {link}', {
            part: aside === 1 ? say('One alarm is') : say('{aside} alarms are', { aside }),
            link: <Link to="/alarms">{say('See alarms')}</Link>,
          })}
        </p>
      )}
    </section>
  )
}
