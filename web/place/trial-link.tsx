import type { PlaceNow } from '../../schemas/api.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import { pathOfTrial } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'

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
        ? 'None was made. It is for an empty place, before the season.'
        : 'Run it empty for some days before any animal goes in: is it cold and steady enough, and for whom?'
      : trial.until === null
        ? `It goes on since ${when(trial.from).replace(/^on /, '')}.`
        : `The last one ended ${when(trial.until)}.`
  return (
    <section class="says" aria-labelledby="trial">
      <h2 id="trial">Trial run</h2>
      <p>{says}</p>
      <p>
        <Link to={pathOfTrial(place.id)}>
          {trial === undefined && !isLivedIn ? 'Begin a trial run' : 'See the trial run'}
        </Link>
      </p>
    </section>
  )
}
