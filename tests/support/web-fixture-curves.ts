import { type Night, NightCurve } from '../../schemas/api.ts'
import type { Band } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { instant, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { nightNamed } from '../../shared/time/night.ts'
import { addDays } from '../../shared/time/wall.ts'

/** The invented truth of one sensor at an instant, without chance: the same on every run. */
export type Truth = (sensor: string, quantity: Quantity, at: number) => number

/** A compressor's swing on a slow drift, for each sensor its own. */
export const inventedTruth =
  (dip: { readonly sensor: string; readonly from: number } | null): Truth =>
  (sensor, quantity, at) => {
    const own = [...sensor].reduce((sum, sign) => sum + sign.charCodeAt(0), 0)
    const t = at / 60_000
    const slow = Math.sin(t / 660 + own) * 0.5 + Math.sin(t / 2400 + own * 2) * 0.4
    if (quantity === 'humidity')
      return (sensor === 'warm-probe' ? (dip === null ? 66 : 45) : 78) + slow * 4 + Math.sin(t / 45 + own)
    const swing = sensor === 'fridge-air' ? 0.7 : sensor.startsWith('fridge') ? 0.3 : 0.12
    const base = sensor === 'warm-probe' ? 26 : 5
    const falling =
      dip !== null && dip.sensor === sensor && at > dip.from ? -((at - dip.from) / 3_600_000) * 4.2 : 0
    return base + slow + Math.sin((t / 38) * 2 * Math.PI) * swing + Math.sin(t * 1.7 + own) * 0.03 + falling
  }

export const every = minutes(2)

export function inventedCurve(
  household: Household,
  place: PlaceId,
  judgedBy: PlaceId | null,
  quantity: Quantity,
  night: Night,
  band: Band | undefined,
  truth: Truth,
  now: Instant,
): NightCurve {
  const sensors = household.sensors.filter((sensor) => sensor.place === (judgedBy ?? place))
  const end = Math.min(now, night.to)
  return NightCurve.parse({
    place,
    quantity,
    night,
    band: {
      at: [night.from],
      lowCritical: [band?.lowCritical?.value ?? null],
      low: [band?.low?.value ?? null],
      high: [band?.high?.value ?? null],
      highCritical: [band?.highCritical?.value ?? null],
    },
    series: sensors.map((sensor) => {
      const at = stretch(night.from, end).filter((t) => !isGap(sensor.id, t, night))
      const values: (number | null)[] = at.map((t) => truth(sensor.id, quantity, t))
      const hole = at.findIndex((t, i) => i > 0 && t - (at[i - 1] ?? t) > every * 3)
      if (hole > 0) {
        at.splice(hole, 0, (at[hole - 1] ?? 0) + every)
        values.splice(hole, 0, null)
      }
      const bad =
        sensor.id === 'top-probe'
          ? [{ at: instant(night.from + 5_400_000), value: 85, quality: 'powerOn' }]
          : []
      const columns = { at, low: values, mean: values, high: values }
      return {
        sensor: sensor.id,
        sensorName: sensor.name,
        spot: sensor.spot,
        quantity,
        resolution: 'readings',
        columns,
        bad,
      }
    }),
    before: Array.from({ length: 7 }, (_, i) => {
      const old = nightNamed(addDays(night.date, -1 - i), household.timeZone, household.night)
      const at = stretch(old.from, old.to).filter((_t, n) => n % 3 === 0)
      const mean = at.map((t) => truth(sensors[0]?.id ?? '', quantity, t))
      return { date: old.date, since: at.map((t) => t - old.from), mean }
    }),
  })
}

/** Every second minute of a stretch. */
export function stretch(from: number, to: number): number[] {
  const count = Math.max(0, Math.floor((to - from) / every))
  return Array.from({ length: count }, (_, i) => from + i * every)
}

/** One sensor was out of reach for half an hour. */
const isGap = (sensor: string, at: number, night: Night): boolean =>
  sensor === 'cellar-probe' && at > night.from + 9_000_000 && at < night.from + 10_800_000
