import type { PlaceNow } from '../../schemas/api.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import { pathOfTrial } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { say } from '../../shared/words/say.ts'

/** Where animals are held cold; the others have nothing to try. */
const kinds: readonly PlaceKind[] = ['fridge', 'box', 'coldRoom', 'frame', 'room']

/** The way to the place's trial run. */
export function TrialLink({ place, places }: { place: PlaceNow; places: readonly PlaceNow[] }) {
  const { household, tell, now } = usePage()
  const trial = household.value?.places.find(({ id }) => id === place.id)?.trial
  if (!kinds.includes(place.kind)) return null
  const isLivedIn = [place, ...places.filter(({ parent }) => parent === place.id)].some(
    ({ animals }) => animals.length > 0,
  )
  const when = (at: number): string => tell.dayAt(at, now.value, place.timeZone)
  const says =
    trial === undefined
      ? isLivedIn
        ? say('None was made. It is for an empty place, before the season.')
        : say(
            'Run it empty for some days before any animal goes in: is it cold and steady enough, and for whom?',
          )
      : trial.until === null
        ? say('It goes on since {time}.', { time: tell.when(trial.from, now.value, place.timeZone) })
        : say('The last one ended {time}.', { time: when(trial.until) })
  return (
    <section class="says" aria-labelledby="trial">
      <h2 id="trial">{say('Trial run')}</h2>
      <p>{says}</p>
      <p>
        <Link to={pathOfTrial(place.id)}>
          {trial === undefined && !isLivedIn ? say('Begin a trial run') : say('See the trial run')}
        </Link>
      </p>
    </section>
  )
}
