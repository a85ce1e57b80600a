import type { Household } from '../../schemas/household.ts'
import { pathOfCheck } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { sensorTypeName, spotName } from '../words/names.ts'
import { SensorForm } from './sensor-form.tsx'
import { ThingList } from './thing-list.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** The sensors in Set-up: the list, one form at a time. */
export function SensorsPart({ household }: { household: Household }) {
  const nameOf = (id: string | null): string =>
    household.places.find((place) => place.id === id)?.name ?? say('no place')
  return (
    <ThingList
      title={say('Sensors')}
      kind="sensors"
      things={household.sensors}
      about={(sensor) =>
        say('{part}, {part2}, in {name}', {
          part: sensorTypeName[sensor.type],
          part2: spotName[sensor.spot],
          name: nameOf(sensor.place),
        })
      }
      more={(sensor) =>
        sensor.type !== 'contact' && (
          <Link to={pathOfCheck(sensor.id)} class="thing-link">
            {sayWith('Check{unseen}', { unseen: <span class="unseen"> {sensor.name}</span> })}
          </Link>
        )
      }
      form={(sensor, onDone) =>
        sensor !== null && <SensorForm sensor={sensor} isNew={false} household={household} onDone={onDone} />
      }
      addWords={null}
      emptyWords={say('None claimed yet. What is heard shows up above.')}
    />
  )
}
