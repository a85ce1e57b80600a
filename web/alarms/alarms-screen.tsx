import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { byPriority } from '../words/worst-of.ts'
import { AlarmActs } from './alarm-acts.tsx'
import { AlarmLine } from './alarm-line.tsx'
import { JournalList } from './journal-list.tsx'
import { MessageList } from './message-list.tsx'
import { say } from '../../shared/words/say.ts'

/** What stands, what can be done about it, and everything that was told and done before. */
export function AlarmsScreen() {
  const { tonight } = usePage()
  const alarms = [...(tonight.value?.alarms ?? [])].sort(byPriority)
  return (
    <Screen title={say('Alarms')} heading={say('Alarms')}>
      <section aria-labelledby="standing">
        <h2 id="standing">{say('Standing')}</h2>
        {tonight.value === null && <Skeleton shape="lines" />}
        {tonight.value !== null && alarms.length === 0 && (
          <p class="soft">{say('None. Everything judged is inside its band.')}</p>
        )}
        <ul class="alarm-list">
          {alarms.map((alarm) => (
            <li key={alarm.id}>
              <AlarmLine alarm={alarm}>
                <AlarmActs alarm={alarm} />
              </AlarmLine>
            </li>
          ))}
        </ul>
      </section>
      <MessageList />
      <JournalList />
    </Screen>
  )
}
