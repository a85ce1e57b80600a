import { useSignal } from '@preact/signals'
import type { SeasonNow } from '../../schemas/season.ts'
import { WakeFirst } from '../animals/wake-first.tsx'
import { useFollowed } from '../diary/use-followed.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { PlanPanel } from './plan-panel.tsx'
import { Timeline } from './timeline.tsx'
import { say } from '../../shared/words/say.ts'

/** Every animal's winter on one line of time; one of them is chosen and planned below. */
export function PlanScreen() {
  const page = usePage()
  const season = useFollowed<SeasonNow>('/api/season')
  const chosen = useSignal<string | null>(animalInAddress())
  const now = season.value.value
  const household = page.household.value
  if (now === null || household === null)
    return (
      <Screen title={say('Plan')} heading={say('Plan')}>
        <ProblemNote problem={season.problem.value} onAgain={season.again} />
        {season.problem.value === null && <Skeleton shape="lines" />}
      </Screen>
    )
  const isKeeper = page.person.value?.role === 'keeper'
  if (now.rows.length === 0)
    return (
      <Screen title={say('Plan')} heading={say('Plan, winter {season}', { season: now.season })}>
        <p class="soft">{say('There is no animal yet. Once there is one, its winter is planned here.')}</p>
        {isKeeper && (
          <Link to="/set-up" class="button">
            {say('Add an animal in Set-up')}
          </Link>
        )}
      </Screen>
    )
  const row = now.rows.find(({ animal }) => animal === chosen.value) ?? null
  const animal = household.animals.find(({ id }) => id === chosen.value) ?? null
  return (
    <Screen title={say('Plan')} heading={say('Plan, winter {season}', { season: now.season })}>
      <ProblemNote problem={season.problem.value} />
      <WakeFirst season={now} animals={household.animals} />
      <Timeline
        season={now}
        household={household}
        chosen={chosen.value}
        onChoose={(id) => (chosen.value = chosen.value === id ? null : id)}
      />
      {row !== null && animal !== null ? (
        <PlanPanel key={animal.id} row={row} animal={animal} household={household} onDone={season.again} />
      ) : (
        <p class="soft plan-hint">{say('Choose an animal to see and plan its winter.')}</p>
      )}
    </Screen>
  )
}

/** `/plan?animal=pebble` opens with that animal chosen. */
const animalInAddress = (): string | null => new URLSearchParams(window.location.search).get('animal')
