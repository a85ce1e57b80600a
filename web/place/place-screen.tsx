import { useSignal } from '@preact/signals'
import { Fragment } from 'preact'
import { useMemo } from 'preact/hooks'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { behindOneDoor } from '../../shared/air/one-door.ts'
import { bandWords } from '../../shared/telling/words.ts'
import { pathOfPlace, pathOfWhatIf } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { WaitingScreen } from '../parts/skeleton.tsx'
import { LimitReasons } from '../tonight/limit-reasons.tsx'
import { isWatched, PlaceAnimals, PlaceRemarks, PlaceSign } from '../tonight/place-parts.tsx'
import { StandingAlarms } from '../tonight/standing-alarms.tsx'
import { TendPlace } from '../tonight/tend-place.tsx'
import { ValuesNow } from '../tonight/values-now.tsx'
import { held } from '../words/held.ts'
import { kindName, quantityName } from '../words/names.ts'
import { SensorLinks } from '../calibrate/sensor-links.tsx'
import { AirSays } from './air-says.tsx'
import { CostSays } from './cost-says.tsx'
import { CurveSays } from './curve-says.tsx'
import { LagSays } from './lag-says.tsx'
import { MarkedNight } from './marked-night.tsx'
import { OutlookSays } from './outlook-says.tsx'
import { openingsIn, openingsSinceMs } from './openings.ts'
import { TrialLink } from './trial-link.tsx'
import { useOpenings } from './use-openings.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Everything about one place: how it stands, how the night went, and what its curve says. */
export function PlaceScreen({ id }: { id: string }) {
  const { tonight } = usePage()
  if (tonight.value === null) return <WaitingScreen title={say('Place')} shape="cards" /> // its name is not known yet
  const places = tonight.value.places
  const place = places.find((one) => one.id === id)
  if (place === undefined)
    return (
      <Screen title={say('No such place')} heading={say('There is no such place')}>
        <p class="lead">{say('It was removed, or the address is not quite right.')}</p>
        <Link to="/" class="button place-back">
          {say('See all places')}
        </Link>
      </Screen>
    )
  return (
    <Screen title={place.name} heading={place.name}>
      <OnePlace place={place} places={places} />
    </Screen>
  )
}

function OnePlace({ place, places }: { place: PlaceNow; places: readonly PlaceNow[] }) {
  const { tonight, now } = usePage()
  const quantity = useSignal<Quantity>('temperature')
  const doors = useOpenings(behindOneDoor(place.id, places)).value
  const openings = useMemo(
    () => openingsIn(doors.lines, behindOneDoor(place.id, places), now.peek() - openingsSinceMs),
    [doors.lines, place.id, places],
  )
  const band = place.bands[quantity.value]
  const words = band === undefined ? '' : bandWords(quantity.value, band)
  const alarms = tonight.value?.alarms.filter((alarm) => place.alarms.includes(alarm.id)) ?? []
  return (
    <>
      <p class="place-stands">
        <PlaceSign place={place} />
        <PlaceWhere place={place} places={places} />
      </p>
      <StandingAlarms alarms={alarms} />
      <div class="place-page">
        <div class="place">
          <PlaceAnimals place={place} />
          <ValuesNow place={place} />
          <PlaceRemarks place={place} />
          <SensorLinks place={place} />
          {isWatched(place) && (
            <MarkedNight
              place={place}
              quantity={quantity}
              band={words}
              told={{ openings, lines: doors.lines }}
            />
          )}
          {isWatched(place) && <TendPlace place={place} />}
        </div>
        <div class="place-notes">
          <CurveSays place={place} openings={openings} doors={doors} />
          <OutlookSays place={place} places={places} />
          <section class="says" aria-labelledby="limits">
            <h2 id="limits">{say('Its limits')}</h2>
            <p>
              {words === ''
                ? say('Nothing is limited here.')
                : `${quantityName[quantity.value]}: ${held(words)}.`}
            </p>
            <LimitReasons bands={place.bands} isOpen />
            <p>
              <Link to={pathOfWhatIf(place.id)}>{say('Try other limits')}</Link>
            </p>
          </section>
          <LagSays place={place} />
          <TrialLink place={place} places={places} />
        </div>
        <div class="place-notes place-more">
          <AirSays place={place} places={places} openings={openings} doors={doors} />
          <CostSays place={place} places={places} />
        </div>
      </div>
    </>
  )
}

/** `box in Larder fridge`, `fridge with Top box and Low box inside`; the others a step away. */
function PlaceWhere({ place, places }: { place: PlaceNow; places: readonly PlaceNow[] }) {
  const parent = places.find((one) => one.id === place.parent)
  const inside = places.filter((one) => one.parent === place.id)
  return (
    <span class="soft">
      {kindName[place.kind]}
      {parent !== undefined && <>{sayWith(' in {placeLink}', { placeLink: <PlaceLink place={parent} /> })}</>}
      {inside.map((one, i) => (
        <Fragment key={one.id}>
          {i === 0 ? say(' with ') : i === inside.length - 1 ? say(' and ') : ', '}
          <PlaceLink place={one} />
        </Fragment>
      ))}
      {inside.length > 0 && say(' inside')}
    </span>
  )
}

const PlaceLink = ({ place }: { place: PlaceNow }) => <Link to={pathOfPlace(place.id)}>{place.name}</Link>
