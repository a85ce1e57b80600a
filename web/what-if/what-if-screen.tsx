import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { PlaceNow } from '../../schemas/api.ts'
import type { WhatIfBasis } from '../../schemas/what-if.ts'
import { say } from '../../shared/words/say.ts'
import { pathTo, query } from '../page/ask.ts'
import { pathOfPlace, pathOfWhatIf } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { useRun } from './use-run.ts'
import { WhatIfForm } from './what-if-form.tsx'
import { WhatIfSays } from './what-if-says.tsx'

/** "What would these limits have done last winter?" */
export function WhatIfScreen({ place: given }: { place: string | null }) {
  const { tonight, route } = usePage()
  const places = tonight.value?.places ?? []
  const place = given ?? firstOf(places)
  const found = places.find(({ id }) => id === place)
  const title = say('Try other limits')
  if (tonight.value === null) return <main class="screen" />
  if (found === undefined)
    return (
      <Screen title={title} heading={title}>
        <p class="soft">{say('There is no place whose limits could be tried.')}</p>
      </Screen>
    )
  return (
    <Screen title={title} heading={title}>
      <p class="trial-back">
        <Link to={pathOfPlace(found.id)}>{say('Back to {name}', { name: found.name })}</Link>
      </p>
      <p class="lead what-if-lead">
        {say(
          'What would these limits have done last winter? Everything that the sensors said is judged once more. Nobody is told anything, nothing is changed, and tonight is watched meanwhile.',
        )}
      </p>
      <OnePlace
        key={found.id}
        place={found}
        places={places}
        onPlace={(id) => route.replace(pathOfWhatIf(id))}
      />
    </Screen>
  )
}

function OnePlace({
  place,
  places,
  onPlace,
}: {
  place: PlaceNow
  places: readonly PlaceNow[]
  onPlace: (id: string) => void
}) {
  const { person } = usePage()
  const season = useSignal<string | null>(null)
  const basis = useAnswer<WhatIfBasis>(
    pathTo('places', place.id, 'what-if') + query({ season: season.value }),
  )
  const run = useRun()
  useEffect(() => {
    const running = basis.value.value?.running ?? null
    if (running !== null && run.now.peek() === null) run.follow(running)
  }, [basis.value.value])
  const known = basis.value.value
  const isKeeper = person.value?.role === 'keeper'
  return (
    <>
      <div class="selectors">
        <ChoiceField
          label={say('Place')}
          field="place"
          value={place.id}
          onValue={onPlace}
          choices={places.map((one) => ({ value: one.id, label: one.name }))}
        />
        <ChoiceField
          label={say('Season')}
          field="season"
          value={known?.season ?? ''}
          onValue={(value) => (season.value = value)}
          choices={(known?.seasons ?? []).map((one) => ({ value: one, label: one }))}
        />
      </div>
      <ProblemNote problem={basis.problem.value} />
      {known !== null && known.stretch === null && (
        <p class="what-if-empty">
          {say('No readings of {name} are stored for the season {season}.', {
            name: known.name,
            season: known.season,
          })}
        </p>
      )}
      {known !== null && known.stretch !== null && !isKeeper && (
        <p class="soft">{say('Only a keeper can try limits.')}</p>
      )}
      {known !== null && known.stretch !== null && isKeeper && (
        <WhatIfForm
          key={`${known.place} ${known.season}`}
          basis={known}
          inside={insideOf(place, places)}
          run={run}
        />
      )}
      {run.now.value?.state === 'done' && <WhatIfSays result={run.now.value.result} />}
    </>
  )
}

/** Whatever stands in it, however deep. */
const insideOf = (place: PlaceNow, places: readonly PlaceNow[]): readonly PlaceNow[] =>
  places.filter(({ parent }) => parent === place.id).flatMap((one) => [one, ...insideOf(one, places)])

/** The place to begin with: one where animals are, else one with a sensor. */
function firstOf(places: readonly PlaceNow[]): string | null {
  const first = places.find((place) => place.animals.length > 0 && place.values.length > 0)
  return (first ?? places.find((place) => place.values.length > 0) ?? places[0])?.id ?? null
}
