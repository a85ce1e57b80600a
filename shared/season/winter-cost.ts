import type { LimitName } from '../../schemas/band.ts'
import type { Night } from '../../schemas/api.ts'
import type { Celsius, Instant } from '../../schemas/units.ts'
import { type Beyond, type Edge, heldBeyond, mergeBeyond, noneBeyond } from './degree-hours.ts'
import { addKinetic, isTemperature, type Kinetic, mergeKinetic, noKinetic } from './mean-kinetic.ts'
import { addMetabolic, mergeMetabolic, type MetabolicTime, noMetabolicTime } from './metabolic-days.ts'
import { addToNights, mergeNights, type NightMinima } from './night-minima.ts'

export type ByLimit<T> = { readonly [Name in LimitName]: T }

/** The temperatures of the band in force; null where no limit applies. */
export type CostLimits = ByLimit<{ readonly value: number; readonly inclusive: boolean } | null>

export const noLimits: CostLimits = { lowCritical: null, low: null, high: null, highCritical: null }

interface Extreme {
  readonly at: Instant
  readonly value: number
}

/**
 * What a stretch of winter did to one place, as sums: two of them merge into the one of both. Times in ms. Beyond `low` holds the time
 * beyond `lowCritical`, too.
 */
export interface WinterCost {
  readonly known: number
  readonly unknown: number
  /** The part of `known` of which only figures of whole hours are kept. */
  readonly fromHours: number
  /** ∫T dt in K·ms. */
  readonly sum: number
  readonly beyond: ByLimit<Beyond>
  readonly kinetic: Kinetic
  readonly metabolic: MetabolicTime
  readonly min: Extreme | null
  readonly max: Extreme | null
  readonly nights: NightMinima
}

export const noCost: WinterCost = {
  known: 0,
  unknown: 0,
  fromHours: 0,
  sum: 0,
  beyond: { lowCritical: noneBeyond, low: noneBeyond, high: noneBeyond, highCritical: noneBeyond },
  kinetic: noKinetic,
  metabolic: noMetabolicTime,
  min: null,
  max: null,
  nights: [],
}

/** A temperature that held for `ms` while these limits were in force. */
export function addHeld(
  cost: WinterCost,
  value: number,
  ms: number,
  limits: CostLimits,
  reference: Celsius,
): WinterCost {
  if (!(ms > 0)) return cost
  // Written out: this runs once for each of a winter's million readings.
  return {
    known: cost.known + ms,
    unknown: cost.unknown,
    fromHours: cost.fromHours,
    sum: cost.sum + value * ms,
    beyond: addBeyond(cost.beyond, limits, value, ms),
    kinetic: addKinetic(cost.kinetic, value, ms),
    metabolic: addMetabolic(cost.metabolic, value, ms, reference),
    min: cost.min,
    max: cost.max,
    nights: cost.nights,
  }
}

/** The same sums where the value is inside all four limits, the everyday case. */
function addBeyond(beyond: ByLimit<Beyond>, limits: CostLimits, value: number, ms: number): ByLimit<Beyond> {
  const lowCritical = added(beyond.lowCritical, limits, 'lowCritical', value, ms)
  const low = added(beyond.low, limits, 'low', value, ms)
  const high = added(beyond.high, limits, 'high', value, ms)
  const highCritical = added(beyond.highCritical, limits, 'highCritical', value, ms)
  const isSame =
    lowCritical === beyond.lowCritical &&
    low === beyond.low &&
    high === beyond.high &&
    highCritical === beyond.highCritical
  return isSame ? beyond : { lowCritical, low, high, highCritical }
}

function added(so: Beyond, limits: CostLimits, name: LimitName, value: number, ms: number): Beyond {
  const limit = limits[name]
  if (limit === null) return so
  const far = isAbove(name) ? value - limit.value : limit.value - value
  if (far < 0 || Number.isNaN(far)) return so
  const part = heldBeyond({ side: sideOf(name), value: limit.value, inclusive: limit.inclusive }, value, ms)
  return part === noneBeyond ? so : mergeBeyond(so, part)
}

export const addUnknown = (cost: WinterCost, ms: number): WinterCost =>
  ms > 0 ? { ...cost, unknown: cost.unknown + ms } : cost

/** The reading itself, apart from how long it held: extremes and nights. */
export function addReading(
  cost: WinterCost,
  at: Instant,
  value: number,
  nights: readonly Night[],
): WinterCost {
  if (!isTemperature(value)) return cost
  const after = addToNights(cost.nights, nights, at, value)
  const isWithin = cost.min !== null && cost.max !== null && liesBetween(cost.min, cost.max, value, at)
  if (isWithin && after === cost.nights) return cost
  const reading = { at, value }
  const min = lower(cost.min, reading)
  const max = higher(cost.max, reading)
  return { ...cost, min, max, nights: after }
}

/** Of two stretches that do not overlap. */
export function mergeCosts(one: WinterCost, other: WinterCost): WinterCost {
  return {
    known: one.known + other.known,
    unknown: one.unknown + other.unknown,
    fromHours: one.fromHours + other.fromHours,
    sum: one.sum + other.sum,
    beyond: byLimit((name) => mergeBeyond(one.beyond[name], other.beyond[name])),
    kinetic: mergeKinetic(one.kinetic, other.kinetic),
    metabolic: mergeMetabolic(one.metabolic, other.metabolic),
    min: lower(one.min, other.min),
    max: higher(one.max, other.max),
    nights: mergeNights(one.nights, other.nights),
  }
}

/** Mean over the time that is known; null where none is. */
export const meanOf = ({ sum, known }: WinterCost): number | null => (known > 0 ? sum / known : null)

export const byLimit = <T>(of: (name: LimitName) => T): ByLimit<T> => ({
  lowCritical: of('lowCritical'),
  low: of('low'),
  high: of('high'),
  highCritical: of('highCritical'),
})

export function edgeOf(limits: CostLimits, name: LimitName): Edge | null {
  const limit = limits[name]
  if (limit === null) return null
  return { side: sideOf(name), value: limit.value, inclusive: limit.inclusive }
}

const isAbove = (name: LimitName): boolean => name === 'high' || name === 'highCritical'
const sideOf = (name: LimitName): Edge['side'] => (isAbove(name) ? 'above' : 'below')

/** Neither colder nor warmer than any before it, nor as extreme and earlier: then both extremes stay. */
const liesBetween = (min: Extreme, max: Extreme, value: number, at: Instant): boolean =>
  (value > min.value || (value === min.value && at >= min.at)) &&
  (value < max.value || (value === max.value && at >= max.at))

function lower(one: Extreme | null, other: Extreme | null): Extreme | null {
  if (one === null || other === null) return one ?? other
  if (one.value !== other.value) return one.value < other.value ? one : other
  return one.at <= other.at ? one : other
}

function higher(one: Extreme | null, other: Extreme | null): Extreme | null {
  if (one === null || other === null) return one ?? other
  if (one.value !== other.value) return one.value > other.value ? one : other
  return one.at <= other.at ? one : other
}
