import type { CultureNow } from '../../schemas/culture.ts'
import type { DayList } from '../../schemas/season.ts'
import { useFollowed } from '../diary/use-followed.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { usePage } from '../page/use-page.ts'
import { CalendarPart } from './calendar-part.tsx'
import { ComingList } from './coming-list.tsx'
import { DoneList } from './done-list.tsx'
import { DueList } from './due-list.tsx'
import { FoodPart } from './food-part.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** What is to be done today, what comes, what was done, and how long the live food lasts. */
export function DayScreen() {
  const { household, tell } = usePage()
  const day = useFollowed<DayList>('/api/day?days=14')
  const cultures = useFollowed<CultureNow[]>('/api/cultures')
  const list = day.value.value
  const again = (): void => {
    day.again()
    cultures.again()
  }
  const isEmpty =
    household.value?.animals.length === 0 &&
    household.value.places.every(({ culture }) => culture === undefined)
  return (
    <Screen title={say('Today')} heading={say('Today')}>
      <ProblemNote
        problem={day.problem.value ?? cultures.problem.value}
        onAgain={list === null ? again : null}
      />
      {list === null ? (
        day.problem.value === null && <Skeleton shape="lines" />
      ) : (
        <>
          <p class="soft">
            <time dateTime={list.date}>{tell.date(list.date)}</time>
          </p>
          {isEmpty && (
            <p>
              {sayWith('Reminders come from your animals’ plans and your live food. {link}.', {
                link: <Link to="/set-up">{say('Add them under Set-up')}</Link>,
              })}
            </p>
          )}
          <div class="day-page">
            <DueList day={list} onChange={again} />
            <ComingList day={list} />
            <FoodPart cultures={cultures.value.value ?? []} onChange={again} />
            <DoneList lines={list.done} />
            <CalendarPart />
          </div>
        </>
      )}
    </Screen>
  )
}
