import type { Night, NightCurve, NightSummary, Series, Winter } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Place } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { days, later, minutes } from '../../schemas/amounts.ts'
import { emptyStrip } from '../../schemas/winter-strip.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import type { Layout } from '../../shared/judging/layout.ts'
import { withLoggers } from '../../shared/judging/past-layout.ts'
import { bandColumns } from '../../shared/judging/zones.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { nightNamed, nightOf, nightsBetween } from '../../shared/time/night.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { JudgedReading, Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { PastHouse } from './past-house.ts'
import { costForPlace, type Pause } from './place-cost.ts'
import { seasonStrip } from './season-strip.ts'
import { say } from '../../shared/words/say.ts'

/** One night's line: a column each minute of a 12-hour night, which no phone shows finer. */
const nightColumns = 720
/** The nights before are drawn faint: five minutes a column are enough. */
const ghostColumns = 144
const ghostNights = 7
const mostBad = 500
/** By day the end of the curve moves on in these steps. */
const quarterHour = minutes(15)
/** One answer never spans more than ten years. */
const longestStretch = days(3660)
/** A winter has at most 366 nights; alarms of all of them are counted from at most this many journal lines. */
const mostAlarmLines = 20_000

type Curves = Pick<Desk, 'series' | 'nightCurve' | 'winter' | 'cost'>

/** What the charts are drawn from. */
export function drawCurves(world: {
  readonly house: PastHouse
  readonly store: Store
  readonly clock: Clock
  readonly pause: Pause
}): Curves {
  const { house, store, clock } = world
  /** With the loggers of past winters behind the sensors. */
  const past = (): Layout => withLoggers(house.state().layout)
  const history = calibratedHistory(store, (sensor) => {
    const layout = past()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  /** Sensors whose curves show this place, its own or those that judge it; of a past winter also its loggers. */
  function sensorsFor(p: number, quantity: Quantity, from: Instant, to: Instant): readonly number[] {
    const { sensors, loggers } = sourcesOf(p, quantity)
    const meets = (s: number): boolean => {
      const span = spanOf(s, quantity)
      return span !== null && span.first < to && span.last >= from
    }
    const found = loggers.filter(meets)
    if (found.length === 0) return sensors
    return sensors.some(meets) ? [...sensors.filter(meets), ...found] : found
  }

  function sourcesOf(p: number, quantity: Quantity) {
    const layout = past()
    const live = house.state().layout.sensors.length
    // Where no sensor judges it just now, its past is still that of the fridge around it (L10)
    const around = (layout.places[p]?.around ?? []).filter((q) => layout.places[q]?.place.kind !== 'room')
    const all = [p, judgeOf(house.state(), p) ?? p, ...around].map((q) =>
      (layout.places[q]?.sensors ?? []).filter((s) => spanOf(s, quantity) !== null),
    )
    const nearest = (some: readonly (readonly number[])[]) => some.find((found) => found.length > 0) ?? []
    return {
      sensors: nearest(all.map((found) => found.filter((s) => s < live))),
      loggers: nearest(all.map((found) => found.filter((s) => s >= live))),
    }
  }

  function spanOf(s: number, quantity: Quantity) {
    const spec = past().sensors[s]
    return spec === undefined ? null : store.span(spec.id, quantity)
  }

  function seriesOf(sensor: SensorId, quantity: Quantity, from: Instant, to: Instant, count: number): Series {
    const layout = past()
    const spec = layout.sensors[layout.sensorIndex.get(sensor) ?? -1]
    const gap = spec === undefined ? minutes(10) : silentAfter(spec)
    const drawn = history.columns(sensor, quantity, from, to, count, gap)
    return { sensor, quantity, ...drawn, bad: badOf(history.readings(sensor, quantity, from, to)) }
  }

  return {
    series(sensor, quantity, from, to, columns) {
      if (!past().sensorIndex.has(sensor))
        return noSuch('noSuchSensor', say('There is no sensor {sensor}.', { sensor }))
      if (from >= to || to - from > longestStretch)
        return noSuch(
          'badStretch',
          say('The stretch must end after it begins and be at most ten years long.'),
        )
      house.catchUp()
      return { ok: true, value: seriesOf(sensor, quantity, from, to, columns) }
    },

    nightCurve(place, quantity, date) {
      const found = findPlace(house, place)
      if (found === null) return noSuch('noSuchPlace', say('There is no place {place}.', { place }))
      house.catchUp()
      const [p, zone, hours] = found
      const now = clock.now()
      const night = date === null ? upToNow(nightOf(now, zone, hours), now) : nightNamed(date, zone, hours)
      const layout = past()
      const sensors = sensorsFor(p, quantity, night.from, night.to)
      const judging = sensors[0] === undefined ? p : (layout.placeOfSensor[sensors[0]] ?? p)
      const value: NightCurve = {
        place,
        quantity,
        night,
        band: bandColumns(layout, judging < 0 ? p : judging, quantity, night.from, night.to),
        series: sensors.flatMap((s) => {
          const spec = layout.sensors[s]
          if (spec === undefined) return []
          const one = seriesOf(spec.id, quantity, night.from, night.to, nightColumns)
          return [{ ...one, sensorName: spec.name, spot: spec.spot }]
        }),
        before: ghostsOf(sensors[0], quantity, night.date, zone, hours),
      }
      return { ok: true, value }
    },

    winter(place, quantity, season) {
      const found = findPlace(house, place)
      if (found === null) return noSuch('noSuchPlace', say('There is no place {place}.', { place }))
      house.catchUp()
      const [p, zone, hours] = found
      const layout = past()
      const { hemisphere } = layout.household
      const today = localDate(clock.now(), zone)
      const { sensors, loggers } = sourcesOf(p, quantity)
      const spans = [...sensors, ...loggers].flatMap((s) => spanOf(s, quantity) ?? [])
      const dateAt = (at: number): string => localDate(at as Instant, zone)
      const oldest = spans.length === 0 ? today : dateAt(Math.min(...spans.map((one) => one.first)))
      const newest = spans.length === 0 ? today : dateAt(Math.max(...spans.map((one) => one.last)))
      const wanted = season ?? seasonOf(earlierDate(newest, today), hemisphere)
      const dates = seasonDates(wanted)
      if (dates === null)
        return noSuch('badSeason', say('A season is named by its years, as 2026 or 2026/27.'))
      const [begins, ends] = [instantOf(dates.first, zone), instantOf(addDays(dates.last, 1), zone)]
      const spec = layout.sensors[sensorsFor(p, quantity, begins, ends)[0] ?? -1]
      const span = spec === undefined ? null : store.span(spec.id, quantity)
      const seasons = spans.length === 0 ? [wanted] : seasonsBetween(oldest, today, hemisphere, wanted)
      const empty: Winter = { place, quantity, season: wanted, seasons, nights: [], strip: emptyStrip }
      if (spec === undefined || span === null) return { ok: true, value: empty }

      const first = localDate(span.first, zone)
      const last = localDate(span.last, zone)
      const from = laterDate(dates.first, addDays(first, -1))
      const to = earlierDate(dates.last, earlierDate(last, today))
      const nights =
        from > to ? [] : nightsBetween(from, to, zone, hours).filter((night) => night.from <= clock.now())
      const summaries = history.summaries(spec.id, quantity, nights, house.zonesOf)
      const raised = raisedIn(nights[0]?.from, nights.at(-1)?.to, place)
      const summarise = (night: (typeof nights)[number], i: number): NightSummary[] => {
        const summary = summaries[i]
        if (summary === undefined) return []
        const { zones } = summary
        const middle = later(night.from, Math.floor((night.to - night.from) / 2))
        const band = bandColumns(layout, p, quantity, middle, later(middle, 1))
        return [
          {
            ...night,
            readings: summary.readings,
            min: summary.min,
            mean: summary.mean,
            max: summary.max,
            low: band.low[0] ?? band.lowCritical[0] ?? null,
            high: band.high[0] ?? band.highCritical[0] ?? null,
            below: Math.round(zones.low + zones.lowCritical) as NightSummary['below'],
            inside: Math.round(zones.inside) as NightSummary['inside'],
            above: Math.round(zones.high + zones.highCritical) as NightSummary['above'],
            unknown: Math.round(zones.unknown) as NightSummary['unknown'],
            alarms: raised.filter((at) => at >= night.from && at < night.to).length,
          },
        ]
      }
      const strip = seasonStrip({ store, history, layout }, p, spec, quantity, nights)
      return { ok: true, value: { ...empty, nights: nights.flatMap(summarise).reverse(), strip } }
    },

    async cost(place, from, to) {
      const found = findPlace(house, place)
      if (found === null) return noSuch('noSuchPlace', say('There is no place {place}.', { place }))
      house.catchUp()
      const layout = past()
      const [p, zone, hours] = found
      const spec = layout.sensors[sensorsFor(p, 'temperature', from, to)[0] ?? -1]
      return costForPlace(house, history, { p, zone, hours, spec, from, to, now: clock.now() }, world.pause)
    },
  }

  function ghostsOf(
    s: number | undefined,
    quantity: Quantity,
    date: string,
    zone: string,
    hours: Place['night'] & {},
  ): NightCurve['before'] {
    const layout = past()
    const spec = s === undefined ? undefined : layout.sensors[s]
    if (spec === undefined) return []
    return nightsBetween(addDays(date, -ghostNights), addDays(date, -1), zone, hours)
      .reverse()
      .flatMap((night) => {
        const { columns } = history.columns(
          spec.id,
          quantity,
          night.from,
          night.to,
          ghostColumns,
          silentAfter(spec),
        )
        if (columns.at.length === 0) return []
        return [{ date: night.date, since: columns.at.map((at) => at - night.from), mean: columns.mean }]
      })
  }

  function raisedIn(from: Instant | undefined, to: Instant | undefined, place: PlaceId): Instant[] {
    if (from === undefined || to === undefined) return []
    return store
      .journal({ limit: mostAlarmLines, from, to, alarmsOnly: true })
      .filter((line) => line.kind === 'raised' && line.place === place)
      .map((line) => line.at)
  }
}

/** By day the curve that began in the evening goes on: what happens now must be seen now. */
function upToNow(night: Night, now: Instant): Night {
  if (now < night.to) return night
  return { ...night, to: (now - (now % quarterHour) + quarterHour) as Instant }
}

function badOf(readings: readonly JudgedReading[]): Series['bad'] {
  return readings
    .filter((reading) => reading.quality !== 'good')
    .slice(-mostBad)
    .map(({ at, value, quality }) => ({ at, value, quality }))
}

function findPlace(
  house: PastHouse,
  place: PlaceId,
): [p: number, zone: string, hours: Household['night']] | null {
  const { layout } = house.state()
  const p = layout.placeIndex.get(place)
  const here = p === undefined ? undefined : layout.places[p]
  if (p === undefined || here === undefined) return null
  return [p, here.place.timeZone ?? layout.household.timeZone, here.place.night ?? layout.household.night]
}

const noSuch = <Code extends string>(error: Code, sentence: string): Outcome<never, Code> => ({
  ok: false,
  error,
  sentence,
})
const instantOf = (date: string, zone: string): Instant => wallInstant(date, '00:00', zone)
const laterDate = (one: string, other: string): string => (one > other ? one : other)
const earlierDate = (one: string, other: string): string => (one < other ? one : other)

function seasonsBetween(
  first: string,
  last: string,
  hemisphere: 'north' | 'south',
  wanted: string,
): string[] {
  const seasons = new Set<string>([wanted])
  // Stepping by half a year meets every season once.
  for (let date = first; date <= last; date = addDays(date, 182)) seasons.add(seasonOf(date, hemisphere))
  seasons.add(seasonOf(last, hemisphere))
  return [...seasons].sort().reverse()
}
