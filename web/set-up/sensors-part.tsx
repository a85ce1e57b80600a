import type { Household } from '../../schemas/household.ts'
import { pathOfCheck } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { sensorTypeName, spotName } from '../words/names.ts'
import { SensorForm } from './sensor-form.tsx'
import { ThingList } from './thing-list.tsx'

export function SensorsPart({ household }: { household: Household }) {
  const nameOf = (id: string | null): string =>
    household.places.find((place) => place.id === id)?.name ?? 'no place'
  return (
    <ThingList
      title="Sensors"
      kind="sensors"
      things={household.sensors}
      about={(sensor) =>
        `${sensorTypeName[sensor.type]}, ${spotName[sensor.spot]}, in ${nameOf(sensor.place)}`
      }
      more={(sensor) =>
        sensor.type !== 'contact' && (
          <Link to={pathOfCheck(sensor.id)} class="thing-link">
            Check<span class="unseen"> {sensor.name}</span>
          </Link>
        )
      }
      form={(sensor, onDone) =>
        sensor !== null && <SensorForm sensor={sensor} isNew={false} household={household} onDone={onDone} />
      }
      addWords={null}
      emptyWords="None claimed yet. What is heard shows up above."
    />
  )
}
