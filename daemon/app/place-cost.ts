import { days, later, millis } from '../../schemas/amounts.ts'
import { LimitName } from '../../schemas/band.ts'
import type { PlaceCost } from '../../schemas/cost.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { NightHours } from '../../schemas/place.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { rulesAt } from '../../shared/judging/place-rules.ts'
import type { PlaceRules } from '../../shared/judging/watch-state.ts'
import {
  type CostPoint,
  type CostRules,
  type CostWalk,
  startWalk,
  walkReading,
  walkTo,
} from '../../shared/season/cost-walk.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { type CostBounds, costOfHour, exactly, mergeBounds } from '../../shared/season/hour-figures.ts'
import { meanKinetic } from '../../shared/season/mean-kinetic.ts'
import { metabolicDays, usualReference } from '../../shared/season/metabolic-days.ts'
import { addUnknown, type CostLimits, meanOf, noCost, noLimits } from '../../shared/season/winter-cost.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { JudgedReading, Summary } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import type { History } from './calibrated-history.ts'
import type { House } from './house.ts'
import { say } from '../../shared/words/say.ts'

/** The past as it is to be shown: by the calibration of each reading's own time. */
type Past = Pick<History, 'readings' | 'summaries'>

/** The limits in force at an instant, and until when; null where nothing ever changes them. */
type LimitsAt = (at: Instant) => { readonly limits: CostLimits; readonly until: Instant | null }

/** Lets everything else that is due have its turn. */
export type Pause = () => Promise<void>

export interface CostAsked {
  readonly place: PlaceId
  readonly sensor: SensorId
  readonly from: Instant
  readonly to: Instant
  readonly rules: CostRules
  readonly limitsAt: LimitsAt
}

/**
 * What a stretch cost, read from the store a day at a time, so that a whole winter needs no more memory than a day and,
 * with `pause` after each day, never holds up the judging of what comes meanwhile. Hours whose readings are kept are counted reading by reading; of thinned ones the figures give bounds. The last value of a thinned hour is not
 * known here: after it time is unknown until the next reading.
 */
export async function costOfPlace(
  store: Past,
  zonesOf: ZonesOf,
  asked: CostAsked,
  pause: Pause,
): Promise<CostBounds> {
  const { sensor, from, to, rules, limitsAt } = asked
  let total = exactly(noCost)
  let walk: CostWalk = startWalk(from, goodOf(readings(later(from, -rules.holds), from)).at(-1) ?? null)

  for (let day = from; day < to; day = later(day, dayMs)) {
    if (day > from) await pause()
    const hours = hoursOf(day, Math.min(to, day + dayMs) as Instant)
    const summaries = store.summaries(sensor, 'temperature', hours, zonesOf)
    const points = goodOf(readings(day, later(day, dayMs)))
    let next = 0
    hours.forEach((hour, i) => {
      const first = next
      while (next < points.length && (points[next]?.[0] ?? 0) < hour.to) next++
      const inHour = points.slice(first, next)
      const summary = summaries[i]
      if (summary === undefined || summary.readings <= inHour.length) {
        for (const point of inHour) {
          walk = passTime(walk, point[0])
          walk = walkReading(walk, point, limitsAt(point[0]).limits, rules)
        }
        walk = passTime(walk, hour.to)
        return
      }
      const { limits } = limitsAt(hour.from)
      total = mergeBounds(total, exactly(walk.cost))
      total = mergeBounds(
        total,
        costOfHour(figuresOf(hour.from, summary), limits, rules.reference, rules.nights),
      )
      walk = startWalk(hour.to, null)
    })
  }
  return mergeBounds(total, exactly(walk.cost))

  function readings(begin: Instant, end: Instant): readonly JudgedReading[] {
    return store.readings(sensor, 'temperature', begin, end < to ? end : to)
  }

  /** Each part by the limits in force in it. */
  function passTime(so: CostWalk, until: Instant): CostWalk {
    while (so.at < until) {
      const { limits, until: changes } = limitsAt(so.at)
      so = walkTo(so, changes !== null && changes < until ? changes : until, limits, rules)
    }
    return so
  }
}

/** The cost of one place up to now at the latest; all unknown where no sensor was ever heard. */
export async function costForPlace(
  house: Pick<House, 'state' | 'zonesOf'>,
  store: Past,
  about: {
    readonly p: number
    readonly zone: string
    readonly hours: NightHours
    readonly spec: Sensor | undefined
    readonly from: Instant
    readonly to: Instant
    readonly now: Instant
  },
  pause: Pause,
): Promise<Outcome<PlaceCost, 'noSuchPlace' | 'badStretch'>> {
  const { layout } = house.state()
  const { zone, hours, spec, from, now } = about
  const to = Math.min(about.to, now) as Instant
  const here = layout.places[about.p]
  if (here === undefined) throw new RangeError(`no place ${about.p}`)
  if (from >= to || to - from > longestStretch)
    return {
      ok: false,
      error: 'badStretch',
      sentence: say('The stretch must lie in the past, end after it begins and be at most 400 days long.'),
    }
  const nights = nightsBetween(addDays(localDate(from, zone), -1), localDate(to, zone), zone, hours)
  const rules: CostRules = {
    holds: spec === undefined ? millis(0) : silentAfter(spec),
    reference: usualReference,
    nights,
  }
  const asked = { place: here.place.id, from, to, rules }
  if (spec === undefined) {
    const unheard = exactly(addUnknown(noCost, to - from))
    return { ok: true, value: costNow(unheard, { ...asked, sensor: null }) }
  }
  let inForce: PlaceRules | null = null
  const limitsAt: LimitsAt = (at) => {
    if (inForce === null || (inForce.until !== null && inForce.until <= at))
      inForce = rulesAt(here, layout.household.guidance, at)
    return { limits: inForce.bands.temperature ?? noLimits, until: inForce.until }
  }
  const whole = { ...asked, sensor: spec.id, limitsAt }
  return { ok: true, value: costNow(await costOfPlace(store, house.zonesOf, whole, pause), whole) }
}

/** The cost as it is answered. */
export function costNow(
  { least, most }: CostBounds,
  asked: Omit<CostAsked, 'sensor' | 'limitsAt'> & { readonly sensor: SensorId | null },
): PlaceCost {
  const [coldest, warmest] = [meanKinetic(least.kinetic), meanKinetic(most.kinetic)]
  const [fewest, highest] = [metabolicDays(least.metabolic), metabolicDays(most.metabolic)]
  return {
    place: asked.place,
    sensor: asked.sensor,
    from: asked.from,
    to: asked.to,
    known: whole(least.known),
    unknown: whole(least.unknown),
    fromHours: whole(least.fromHours),
    mean: meanOf(least),
    meanKinetic: coldest === null || warmest === null ? null : { least: coldest, most: warmest },
    beyond: LimitName.options.map((limit) => ({
      limit,
      time: whole(least.beyond[limit].time),
      degreeHours: {
        least: least.beyond[limit].degreeHours,
        most: most.beyond[limit].degreeHours,
      },
    })),
    metabolicDays: {
      days: fewest.days,
      least: fewest.from,
      most: highest.to,
      reference: asked.rules.reference,
      beyond: whole(most.metabolic.beyond),
    },
    min: least.min,
    max: least.max,
    nights: [...least.nights],
  }
}

interface Hour {
  readonly from: Instant
  readonly to: Instant
}

/** Cut at whole hours UTC, as the store keeps them. */
function hoursOf(from: Instant, to: Instant): Hour[] {
  const hours: Hour[] = []
  for (let at = from; at < to; ) {
    const next = Math.min(to, (Math.floor(at / hourMs) + 1) * hourMs) as Instant
    hours.push({ from: at, to: next })
    at = next
  }
  return hours
}

const figuresOf = (from: Instant, { min, max, mean, zones }: Summary) => ({
  from,
  min: min ?? Number.NaN,
  max: max ?? Number.NaN,
  mean: mean ?? Number.NaN,
  zones,
})

const goodOf = (readings: readonly JudgedReading[]): CostPoint[] =>
  readings.filter(({ quality }) => quality === 'good').map(({ at, value }) => [at, value])

const whole = (ms: number) => millis(Math.round(ms))
/** A winter has at most 366 nights, and a month to look back on (X3). */
const longestStretch = days(400)
const hourMs = 3_600_000
const dayMs = 24 * hourMs
