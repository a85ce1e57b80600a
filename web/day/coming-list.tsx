import type { DayList, Reminder } from '../../schemas/season.ts'
import { groupsOf } from '../../shared/animals/reminder-groups.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'

/** The days after, each with what it brings. */
export function ComingList({ day }: { day: DayList }) {
  const { tell } = usePage()
  const dates = [...new Set(day.coming.map(({ on }) => on))]
  const of = (date: string): readonly Reminder[] => day.coming.filter(({ on }) => on === date)
  return (
    <section class="part" aria-labelledby="day-coming">
      <h2 id="day-coming">{say('The next two weeks')}</h2>
      {dates.length === 0 ? (
        <p class="soft">{say('Nothing comes.')}</p>
      ) : (
        <dl class="day-coming">
          {dates.map((date) => (
            <div key={date}>
              <dt>
                <time dateTime={date}>{tell.date(date)}</time>
              </dt>
              {groupsOf(of(date)).map(({ title }) => (
                <dd key={title}>{title}</dd>
              ))}
            </div>
          ))}
        </dl>
      )}
    </section>
  )
}
