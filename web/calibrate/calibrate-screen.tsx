import { usePage } from '../page/use-page.ts'
import { pathOfPlace } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { sensorTypeName, spotName } from '../words/names.ts'
import { BudgetSays } from './budget-says.tsx'
import { CheckPart } from './check-part.tsx'
import { History } from './history.tsx'
import { quantitiesOf } from './ways.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Everything about how far one sensor can be believed: checking it, how sure it is, and what was found before. */
export function CalibrateScreen({ sensor: id }: { sensor: string }) {
  const { household, person } = usePage()
  const home = household.value
  if (home === null || person.value === null)
    return (
      <Screen title={say('Check a sensor')} heading={say('Check a sensor')}>
        <Skeleton shape="form" />
      </Screen>
    )
  const sensor = home.sensors.find((one) => one.id === id)
  if (sensor === undefined)
    return (
      <Screen title={say('No such sensor')} heading={say('There is no such sensor')}>
        <p>
          {sayWith('It may have been removed. {link}', {
            link: <Link to="/set-up">{say('See all sensors')}</Link>,
          })}
        </p>
      </Screen>
    )
  const place = home.places.find((one) => one.id === sensor.place)
  return (
    <Screen
      title={say('Check {sensor}', { sensor: sensor.name })}
      heading={say('Check {sensor}', { sensor: sensor.name })}
    >
      <p class="soft">
        {sensorTypeName[sensor.type]}, {spotName[sensor.spot]}
        {place === undefined ? (
          say(', in no place')
        ) : (
          <>{sayWith(', in {link}', { link: <Link to={pathOfPlace(place.id)}>{place.name}</Link> })}</>
        )}
      </p>
      <div class="set-up calibrate">
        <div>
          <CheckPart sensor={sensor} household={home} />
        </div>
        <div>
          {quantitiesOf(sensor.type).length > 0 && <BudgetSays sensor={sensor} />}
          <History sensor={sensor} zone={place?.timeZone ?? home.timeZone} />
        </div>
      </div>
    </Screen>
  )
}
