import { type NightSummary, Winter } from '../../schemas/api.ts'
import type { Band } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { hours, millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { stripHours } from '../../shared/season/strip.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays } from '../../shared/time/wall.ts'
import { every, stretch, type Truth } from './web-fixture-curves.ts'

/** How long each winter has been watched, in nights; the one before was colder and shorter. */
const watched = { now: 75, before: 60 } as const
const colder = 0.6

/** The nights of this winter or of the one before: every eleventh was warm and rang, every 23rd was silent. */
export function inventedWinter(
  household: Household,
  place: PlaceId,
  judgedBy: PlaceId | null,
  quantity: Quantity,
  band: Band | undefined,
  truth: Truth,
  now: Instant,
  today: string,
  wanted: string | null,
): Winter {
  const current = seasonOf(today, household.hemisphere)
  const before = seasonOf(addDays(today, -365), household.hemisphere)
  const season = wanted ?? current
  const isBefore = season === before
  const dates = seasonDates(season)
  const last = isBefore ? addDays(today, -365 + 20) : today
  const first = addDays(last, isBefore ? -watched.before : -watched.now)
  const sensor = household.sensors.find((one) => one.place === (judgedBy ?? place))
  const from = dates !== null && dates.first > first ? dates.first : first
  const nights = sensor === undefined ? [] : nightsBetween(from, last, household.timeZone, household.night)
  const limits = { low: band?.low?.value ?? null, high: band?.high?.value ?? null }
  const raised: Winter['strip']['raised'] = []
  const columns = {
    at: [] as Instant[],
    low: [] as (number | null)[],
    mean: [] as (number | null)[],
    high: [] as (number | null)[],
  }
  const summaries = nights.map((night, i): NightSummary => {
    const warm = (i % 11 === 3 ? 2.6 : 0) - (isBefore ? colder : 0)
    const end = Math.min(now, night.to)
    const at = i % 23 === 4 ? [] : stretch(night.from, end)
    const values = at.map((t) => truth(sensor?.id ?? '', quantity, t) + warm)
    if (i % 23 === 4) pushHour(columns, night.from + 6 * hours(1), [])
    for (let t: number = night.from; t < end && at.length > 0; t += hours(1))
      pushHour(
        columns,
        t + hours(1) / 2,
        values.filter((_value, n) => (at[n] ?? 0) >= t && (at[n] ?? 0) < t + hours(1)),
      )
    const below = values.filter((value) => value <= (limits.low ?? -Infinity)).length * every
    const above = values.filter((value) => value >= (limits.high ?? Infinity)).length * every
    if (above > 0)
      raised.push({ at: (night.from + hours(3)) as Instant, priority: i % 2 === 0 ? 'high' : 'medium' })
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
      unknown: millis(Math.max(night.to - night.from - values.length * every, 0)),
      alarms: above > 0 ? 1 : 0,
    }
  })
  const strip = stripHours(nights, columns, (_at, value) =>
    limits.low !== null && value <= limits.low
      ? 'low'
      : limits.high !== null && value >= limits.high
        ? 'high'
        : 'inside',
  )
  return Winter.parse({
    place,
    quantity,
    season,
    seasons: sensor === undefined ? [current] : [current, before],
    nights: summaries.reverse(),
    strip: {
      hours: strip.hours.reverse(),
      low: strip.low.reverse(),
      high: strip.high.reverse(),
      raised,
      opened: nights.filter((_night, i) => i % 7 === 2).map((night) => night.from + hours(1) / 2),
      gaps: strip.gaps,
    },
  })
}

function pushHour(
  columns: Record<'at', Instant[]> & Record<'low' | 'mean' | 'high', (number | null)[]>,
  at: number,
  values: readonly number[],
): void {
  columns.at.push(at as Instant)
  columns.low.push(values.length === 0 ? null : Math.min(...values))
  columns.mean.push(values.length === 0 ? null : values.reduce((a, b) => a + b) / values.length)
  columns.high.push(values.length === 0 ? null : Math.max(...values))
}
