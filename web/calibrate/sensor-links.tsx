import type { PlaceNow } from '../../schemas/api.ts'
import { pathOfCheck } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { sayWith } from '../parts/say-with.ts'

/** From a place to how far each thermometer in it can be believed. */
export function SensorLinks({ place }: { place: PlaceNow }) {
  const { household } = usePage()
  const sensors =
    household.value?.sensors.filter((one) => one.place === place.id && one.type !== 'contact') ?? []
  if (sensors.length === 0) return null
  return (
    <p class="sensor-links soft">
      {sayWith('How sure that is: {sensors}', {
        sensors: sensors.map((sensor, i) => (
          <span key={sensor.id}>
            {i > 0 && ', '}
            <Link to={pathOfCheck(sensor.id)}>{sensor.name}</Link>
          </span>
        )),
      })}
    </p>
  )
}
