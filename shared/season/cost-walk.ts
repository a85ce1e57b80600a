import { later } from '../../schemas/amounts.ts'
import type { Night } from '../../schemas/api.ts'
import type { Celsius, Instant, Millis } from '../../schemas/units.ts'
import { isTemperature } from './mean-kinetic.ts'
import { addHeld, addReading, addUnknown, type CostLimits, noCost, type WinterCost } from './winter-cost.ts'

export type CostPoint = readonly [at: Instant, value: number]

/** What stays the same through a winter: how long a value holds (L2), what is compared with, which nights are asked for. */
export interface CostRules {
  readonly holds: Millis
  readonly reference: Celsius
  readonly nights: readonly Night[]
}

/** A cost that has been counted up to `at`, and the value in force there. */
export interface CostWalk {
  readonly at: Instant
  readonly last: CostPoint | null
  readonly cost: WinterCost
}

/** Begins at `from`; `before` is the last believable reading before it, which may still hold. */
export const startWalk = (from: Instant, before: CostPoint | null): CostWalk => ({
  at: from,
  last: before,
  cost: noCost,
})

/**
 * Time has come as far as `until`, while these limits were in force. The last value holds until its sensor is stale;
 * what comes after is unknown, never inside the band. So is time after a value that is no temperature.
 */
export function walkTo(walk: CostWalk, until: Instant, limits: CostLimits, rules: CostRules): CostWalk {
  const { at, last } = walk
  if (until <= at) return walk
  const isKnown = last !== null && isTemperature(last[1])
  const stale = isKnown ? Math.min(until, Math.max(at, later(last[0], rules.holds))) : at
  const held = isKnown ? addHeld(walk.cost, last[1], stale - at, limits, rules.reference) : walk.cost
  return { at: until, last, cost: addUnknown(held, until - stale) }
}

/** The next believable reading; `limits` were in force before it. Readings ascend. */
export function walkReading(
  walk: CostWalk,
  point: CostPoint,
  limits: CostLimits,
  rules: CostRules,
): CostWalk {
  if (point[0] < (walk.last?.[0] ?? 0)) throw new RangeError('readings of a walk must ascend')
  const { at, cost } = walkTo(walk, point[0], limits, rules)
  return { at, last: point, cost: addReading(cost, point[0], point[1], rules.nights) }
}
