import { useSignal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { pathOfWhatIf, pathOfWinter } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { quantityName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'
import { useWinters } from './use-winters.ts'
import { WinterStrip } from './winter-strip.tsx'

/** Every night of one winter in one place: a strip of nights, and each night from near. */
export function WinterScreen({ place, date }: { place: string | null; date: string | null }) {
  const { tonight, person } = usePage()
  const places = tonight.value?.places
  const title = say('Winter')
  if (places === undefined)
    return (
      <Screen title={title} heading={title}>
        <Skeleton shape="strip" />
      </Screen>
    )
  const shown = place === null ? firstOf(places) : places.find((one) => one.id === place)
  if (shown !== undefined) return <WinterOf places={places} place={shown} date={date} />
  return (
    <Screen title={title} heading={title}>
      {places.length > 0 ? (
        <>
          <p class="lead">{say('There is no such place here. It may have been removed.')}</p>
          <Link to="/winter" class="button">
            {say('To the places there are')}
          </Link>
        </>
      ) : person.value?.role === 'keeper' ? (
        <>
          <p class="lead">{say('There is no place yet. Make one, and each of its nights is kept here.')}</p>
          <Link to="/set-up" class="button strong">
            {say('To Set-up')}
          </Link>
        </>
      ) : (
        <p class="lead">{say('There is no place yet. Each night of a place is kept here.')}</p>
      )}
    </Screen>
  )
}

function WinterOf({
  places,
  place,
  date,
}: {
  places: readonly PlaceNow[]
  place: PlaceNow
  date: string | null
}) {
  const { route, person } = usePage()
  const quantity = useSignal<Quantity>('temperature')
  const season = useSignal<string | null>(null)
  const against = useSignal<string | null>(null)
  const asked = against.value === null ? [season.value] : [season.value, against.value]
  const { winters, problem, isBusy } = useWinters(place.id, quantity.value, asked).value
  const shown = winters[0]
  const title = say('Winter')
  const seasons = shown?.seasons ?? []
  const others = seasons.filter((one) => one !== shown?.season)
  const isOld = isBusy && shown !== undefined && shown.place !== place.id

  return (
    <Screen title={title} heading={title}>
      <div class="selectors">
        <ChoiceField
          label={say('Place')}
          field="place"
          value={place.id}
          onValue={(id) => {
            against.value = null
            route.replace(pathOfWinter(id))
          }}
          choices={places.map((one) => ({ value: one.id, label: one.name }))}
        />
        <ChoiceField
          label={say('Quantity')}
          field="quantity"
          value={quantity.value}
          onValue={(value) => (quantity.value = value as Quantity)}
          choices={(['temperature', 'humidity'] as const).map((one) => ({
            value: one,
            label: quantityName[one],
          }))}
        />
        <ChoiceField
          label={say('Season')}
          field="season"
          value={shown?.season ?? ''}
          onValue={(value) => {
            if (against.value === value) against.value = null
            season.value = value
          }}
          choices={seasons.map((one) => ({ value: one, label: one }))}
        />
        <ChoiceField
          label={say('Compare with')}
          field="against"
          value={against.value ?? ''}
          onValue={(value) => (against.value = value === '' ? null : value)}
          choices={[
            { value: '', label: others.length === 0 ? say('none yet #season') : say('none #season') },
            ...others.map((one) => ({ value: one, label: one })),
          ]}
        />
      </div>
      <p class="winter-what-if">
        <Link to={pathOfWhatIf(place.id)}>{say('Try other limits')}</Link>
      </p>
      <ProblemNote problem={problem} />
      {shown === undefined || isOld ? (
        problem === null && <Skeleton shape="strip" />
      ) : shown.nights.every((night) => night.readings === 0) && winters.length === 1 ? (
        <div class="winter-empty">
          <p class="lead">
            {say('Nothing was heard in {place} in {season}.', { place: place.name, season: shown.season })}
          </p>
          <p class="soft">
            {person.value?.role === 'keeper'
              ? say(
                  'Once a sensor reports from here, each night becomes a column. Choose a place that has one, or give this one a sensor in Set-up.',
                )
              : say('Once a sensor reports from here, each night becomes a column.')}
          </p>
        </div>
      ) : (
        <WinterStrip
          key={`${shown.place} ${shown.quantity}`}
          place={place}
          winters={winters}
          date={date}
          isBusy={isBusy}
        />
      )}
    </Screen>
  )
}

/** The place to begin with: one where animals are, else one with a sensor. */
function firstOf(places: readonly PlaceNow[]): PlaceNow | undefined {
  const first = places.find((place) => place.animals.length > 0 && place.values.length > 0)
  return first ?? places.find((place) => place.values.length > 0) ?? places[0]
}
