import { days, later, millis } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Celsius, Instant } from '../../schemas/units.ts'
import { airPair } from '../../shared/air/air-sensor.ts'
import { addDrying, type DryingTime, meanDeficit, noDrying } from '../../shared/air/evaporation.ts'
import { vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'
import type { BoxAir } from '../../shared/animals/mass.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { House } from './house.ts'

/** What the air of animals' boxes was like, by the means of days: a hold is told in percent, not in minutes. */
export function boxAirs({
  house,
  store,
}: {
  readonly house: Pick<House, 'state' | 'zonesOf'>
  readonly store: Pick<Store, 'readings' | 'columns' | 'summaries' | 'span'>
}): {
  /** From `from` to `to`; null where nothing measures it. */
  readonly air: (place: PlaceId, from: Instant, to: Instant) => BoxAir | null
  /** Mean temperature of a place, or of what it stands in where it has no thermometer; °C. */
  readonly warmth: (place: PlaceId, from: Instant, to: Instant) => number | null
} {
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  /** Sensors in the nearest place, from this one outwards, for which `found` finds something. */
  function nearest<Found>(id: PlaceId, found: (sensors: readonly Sensor[]) => Found | null): Found | null {
    const { layout } = house.state()
    const p = layout.placeIndex.get(id)
    for (const one of p === undefined ? [] : [p, ...(layout.places[p]?.around ?? [])]) {
      const here = layout.places[one]
      // The air of a room is not that of the fridge in it.
      if (here === undefined || (one !== p && here.place.kind === 'room')) continue
      const value = found(here.sensors.flatMap((s) => layout.sensors[s] ?? []))
      if (value !== null) return value
    }
    return null
  }

  const means = (sensor: Sensor, quantity: 'temperature' | 'humidity', stretches: readonly Stretch[]) =>
    history.summaries(sensor.id, quantity, stretches, house.zonesOf).map(({ mean }) => mean)

  const warmth = (place: PlaceId, from: Instant, to: Instant): number | null =>
    from >= to
      ? null
      : nearest(place, (sensors) => {
          const known = sensors
            .filter(({ spot }) => spot !== 'basking')
            .flatMap((sensor) => means(sensor, 'temperature', [{ from, to }])[0] ?? [])
          return known.length === 0 ? null : known.reduce((sum, mean) => sum + mean, 0) / known.length
        })

  return {
    warmth,
    air(place, from, to) {
      const pair = nearest(place, (sensors) =>
        airPair(
          sensors.map((spec) => ({
            spec,
            spot: spec.spot,
            hasTemperature: store.span(spec.id, 'temperature') !== null,
            hasHumidity: store.span(spec.id, 'humidity') !== null,
          })),
        ),
      )
      const celsius = warmth(place, from, to)
      if (pair === null) return celsius === null ? null : { deficit: null, celsius }
      const between = (first: Instant, last: Instant): DryingTime => {
        const stretches = byDay(first, last)
        const warm = means(pair.temperature.spec, 'temperature', stretches)
        const damp = means(pair.humidity.spec, 'humidity', stretches)
        return stretches.reduce((so, stretch, i) => {
          const [t, rh] = [warm[i] ?? null, damp[i] ?? null]
          const deficit = t === null || rh === null ? null : vapourPressureDeficit(t as Celsius, rh)
          return addDrying(so, deficit, millis(stretch.to - stretch.from))
        }, noDrying)
      }
      return { deficit: meanDeficit(between(from, to)), celsius, between }
    },
  }
}

interface Stretch {
  readonly from: Instant
  readonly to: Instant
}

/** More days than any hold has (X3). */
const mostDays = 400

function byDay(from: Instant, to: Instant): readonly Stretch[] {
  const stretches: Stretch[] = []
  for (let at = from; at < to && stretches.length < mostDays; at = later(at, days(1)))
    stretches.push({ from: at, to: Math.min(later(at, days(1)), to) as Instant })
  return stretches
}
