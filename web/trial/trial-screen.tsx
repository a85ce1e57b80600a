import { useEffect } from 'preact/hooks'
import type { TrialNow } from '../../schemas/trial-report.ts'
import { pathTo } from '../page/ask.ts'
import { pathOfPlace } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { BeginTrial } from './begin-trial.tsx'
import { TrialActs } from './trial-acts.tsx'
import { TrialFindings } from './trial-findings.tsx'
import { say } from '../../shared/words/say.ts'

/** A run that goes on is looked at again this often: its figures move slowly. */
const againMs = 300_000

/** The days of running a place empty: begin, pull the plug, end, and what they showed; made to be printed. */
export function TrialScreen({ place }: { place: string }) {
  const { now, tonight, person, refresh } = usePage()
  const { value, problem, again } = useAnswer<TrialNow>(pathTo('places', place, 'trial'))
  const round = Math.floor(now.value / againMs)
  useEffect(() => {
    if (value.peek()?.report?.isRunning === true) again()
  }, [round])
  const done = (): void => {
    again()
    void refresh() // the place's page tells of it too
  }
  const name = value.value?.name ?? tonight.value?.places.find(({ id }) => id === place)?.name ?? ''
  const zone = tonight.value?.places.find(({ id }) => id === place)?.timeZone
  return (
    <Screen
      title={say('Trial run {name}', { name }).trim()}
      heading={name === '' ? say('Trial run') : say('Trial run: {name}', { name })}
    >
      <p class="trial-back">
        <Link to={pathOfPlace(place)}>
          {say('Back to {part}', { part: name === '' ? say('the place') : name })}
        </Link>
      </p>
      <ProblemNote problem={problem.value} onAgain={value.value === null ? again : null} />
      {value.value === null && problem.value === null && <Skeleton shape="lines" />}
      {value.value !== null && (
        <>
          <TrialActs trial={value.value} zone={zone} onDone={done} />
          {value.value.report !== null && <TrialFindings report={value.value.report} zone={zone} />}
          {person.value?.role === 'keeper' && value.value.report?.isRunning !== true && (
            <BeginTrial place={place} isAnew={value.value.report !== null} onDone={done} />
          )}
        </>
      )}
    </Screen>
  )
}
