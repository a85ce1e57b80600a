import type { Calibration } from '../../schemas/calibration.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { calibrated } from '../../shared/sensing/calibration.ts'
import type { Store, Summary } from '../ports/store.ts'

/** What the store answers about the past. */
export type History = Pick<Store, 'readings' | 'columns' | 'summaries'>

/**
 * The past as it is to be shown: the store keeps what the sensors said, and each reading takes the calibration of its
 * own time. A column in which one begins takes that of its start.
 */
export function calibratedHistory(
  store: History,
  calibrationsOf: (sensor: SensorId) => readonly Calibration[],
): History {
  const ofQuantity = (sensor: SensorId, quantity: Quantity): readonly Calibration[] =>
    calibrationsOf(sensor).filter((one) => one.quantity === quantity)

  return {
    readings(sensor, quantity, from, to) {
      const readings = store.readings(sensor, quantity, from, to)
      const known = ofQuantity(sensor, quantity)
      if (known.length === 0) return readings
      return readings.map((reading) => ({
        ...reading,
        value: calibrated(known, quantity, reading.at, reading.value),
      }))
    },

    columns(sensor, quantity, from, to, count, gap) {
      const drawn = store.columns(sensor, quantity, from, to, count, gap)
      const known = ofQuantity(sensor, quantity)
      if (known.length === 0) return drawn
      const { at } = drawn.columns
      const corrected = (values: readonly (number | null)[]): (number | null)[] =>
        values.map((value, i) =>
          value === null ? null : calibrated(known, quantity, at[i] as Instant, value),
        )
      const { low, mean, high } = drawn.columns
      return {
        ...drawn,
        columns: { ...drawn.columns, low: corrected(low), mean: corrected(mean), high: corrected(high) },
      }
    },

    summaries(sensor, quantity, stretches, zonesOf) {
      const known = ofQuantity(sensor, quantity)
      if (known.length === 0) return store.summaries(sensor, quantity, stretches, zonesOf)
      const parts = stretches.map(({ from, to }) => {
        const begins = known.map((one) => one.from).filter((at) => at > from && at < to)
        const edges = [from, ...begins.toSorted((one, other) => one - other), to]
        return edges.slice(1).map((end, i) => ({ from: edges[i] ?? from, to: end }))
      })
      const all = store.summaries(sensor, quantity, parts.flat(), zonesOf)
      let next = 0
      return parts.map((some) =>
        sumOf(
          some.map(({ from }) => {
            const summary = all[next++] as Summary
            const corrected = (value: number | null) =>
              value === null ? null : calibrated(known, quantity, from, value)
            const { min, mean, max } = summary
            return { ...summary, min: corrected(min), mean: corrected(mean), max: corrected(max) }
          }),
        ),
      )
    },
  }
}

/** Summaries of stretches that follow each other, as one. */
function sumOf(parts: readonly Summary[]): Summary {
  const [first] = parts
  if (first === undefined || parts.length === 1) return first as Summary
  const values = (of: 'min' | 'max') => parts.flatMap((part) => part[of] ?? [])
  const readings = parts.reduce((sum, part) => sum + part.readings, 0)
  const weighed = parts.reduce((sum, part) => sum + (part.mean ?? 0) * part.readings, 0)
  const zones = { ...first.zones }
  for (const part of parts.slice(1))
    for (const name of Object.keys(zones) as (keyof typeof zones)[]) zones[name] += part.zones[name]
  return {
    readings,
    min: values('min').length === 0 ? null : Math.min(...values('min')),
    max: values('max').length === 0 ? null : Math.max(...values('max')),
    mean: readings === 0 ? null : weighed / readings,
    zones,
  }
}
