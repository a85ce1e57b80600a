import { isConditionOut } from '../../shared/judging/alarm.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { Moon } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from './link.tsx'
import { say } from '../../shared/words/say.ts'

/** Says on every screen whom an alarm would not reach (N1). */
export function OutOfReach() {
  const { tonight, person, route } = usePage()
  const { names } = useWords()
  const alarms =
    tonight.value?.alarms.filter((alarm) => alarm.kind === 'undeliverable' && isConditionOut(alarm.state)) ??
    []
  if (alarms.length === 0) return null
  return (
    <aside class="out-of-reach" aria-label={say('Who cannot be reached')}>
      {alarms.map((alarm) => (
        <p key={alarm.id}>
          <span class={`sign-${alarm.priority}`}>
            <Moon priority={alarm.priority} />
          </span>{' '}
          {alarmHeadline(alarm, names)}.
        </p>
      ))}
      {person.value?.role === 'keeper' && route.path.value !== '/contacts' && (
        <Link to="/contacts">{say('See contacts')}</Link>
      )}
    </aside>
  )
}
