import { type Night, NightCurve, type NightSummary, Winter } from '../../schemas/api.ts'
import type { Band } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { instant, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { nightNamed, nightsBetween } from '../../shared/time/night.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
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

const every = minutes(2)

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

export function inventedWinter(
  household: Household,
  place: PlaceId,
  judgedBy: PlaceId | null,
  quantity: Quantity,
  band: Band | undefined,
  truth: Truth,
  now: Instant,
  today: string,
): Winter {
  const season = seasonOf(today, household.hemisphere)
  const dates = seasonDates(season)
  const sensor = household.sensors.find((one) => one.place === (judgedBy ?? place))
  const nights = nightsBetween(
    dates?.first ?? today,
    dates?.last ?? today,
    household.timeZone,
    household.night,
  )
  const begun = addDays(today, -75)
  return Winter.parse({
    place,
    quantity,
    season,
    seasons: [season, '2025/26'],
    nights: nights.map((night, i): NightSummary => {
      const isSilent = night.from > now || night.date < begun || i % 23 === 4 || sensor === undefined
      const at = isSilent ? [] : stretch(night.from, Math.min(now, night.to))
      const warm = i % 11 === 3 ? 2.6 : 0
      const values = at.map((t) => truth(sensor?.id ?? '', quantity, t) + warm)
      const limits = { low: band?.low?.value ?? null, high: band?.high?.value ?? null }
      const below = values.filter((value) => value <= (limits.low ?? -Infinity)).length * every
      const above = values.filter((value) => value >= (limits.high ?? Infinity)).length * every
      const length = night.to - night.from
      return {
        ...night,
        readings: values.length,
        min: values.length === 0 ? null : Math.min(...values),
        mean: values.length === 0 ? null : values.reduce((a, b) => a + b) / values.length,
        max: values.length === 0 ? null : Math.max(...values),
        ...limits,
        below: millis(below),
        above: millis(above),
        inside: millis(Math.max(values.length * every - below - above, 0)),
        unknown: millis(Math.max(length - values.length * every, 0)),
        alarms: above > 0 ? 1 : 0,
      }
    }),
  })
}

function stretch(from: number, to: number): number[] {
  const count = Math.max(0, Math.floor((to - from) / every))
  return Array.from({ length: count }, (_, i) => from + i * every)
}

/** One sensor was out of reach for half an hour. */
const isGap = (sensor: string, at: number, night: Night): boolean =>
  sensor === 'cellar-probe' && at > night.from + 9_000_000 && at < night.from + 10_800_000
