import type { Limit } from '../../schemas/band.ts'
import { hours, instant, millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { earlyAlarm, startEarly, stepEarly, type EarlyFigures, type EarlyState } from '../thermal/early.ts'
import type { Point } from '../thermal/lag.ts'
import type { ThermalRole } from './thermal-role.ts'
import type { LimitAhead, ThermalWatch } from './thermal-state.ts'

/** What was found: nothing new between two looks, five minutes apart. */
export interface Ahead {
  readonly early: ThermalWatch['early']
  /** Whether each critical limit will be met soon; null where that cannot be said. */
  readonly says: { readonly low: boolean | null; readonly high: boolean | null } | null
}

/**
 * A straight line is followed for one time constant of what it is about: what levels off exponentially does not get as
 * far, so within it the line is early, not wrong; kept within one to three hours.
 */
const [shortest, longest]: readonly [Millis, Millis] = [hours(1), hours(3)]
/** What lies in the soil itself has no known time constant; soil in a box takes hours (derived). */
const ofItself: Millis = hours(2)
/** A high alarm that may wake somebody should be right nine times in ten. A design choice. */
const confidence = 0.9
/** Farther off it is a guess, not an outlook. */
const farthest: Millis = hours(12)
/** Of the standard normal law: 5 % on either side. */
const z90 = 1.6449

/** Moves by one believed reading; looks ahead each time that a point of the trend was added. */
export function stepAhead(
  before: ThermalWatch['early'],
  point: Point,
  role: ThermalRole,
  limits: readonly (Limit | null)[],
): Ahead {
  const { follows } = role
  if (follows === null) return { early: null, says: null }
  const { tau } = follows
  if (before === null || before.tau !== tau) {
    const state = startEarly(point, follows.by === 'itself' ? point.celsius : undefined)
    return { early: { tau, state, ahead: null }, says: null }
  }
  const state = stepEarly(before.state, point, tau)
  if (state.recent === before.state.recent) return { early: { ...before, state }, says: null }
  const low = look('low', limits[0] ?? null)
  const high = look('high', limits[3] ?? null)
  return {
    early: { tau, state, ahead: sooner(low.ahead, high.ahead) },
    says: { low: low.isSo, high: high.isSo },
  }

  function look(
    side: 'low' | 'high',
    limit: Limit | null,
  ): { isSo: boolean | null; ahead: LimitAhead | null } {
    if (limit === null) return { isSo: false, ahead: null }
    // What lags can only go to where the air is: a trend of the last hour may be over.
    const pull = (state.lag.air - state.lag.celsius) * (side === 'low' ? -1 : 1)
    if (follows?.by === 'animalLag' && pull <= 0) return { isSo: false, ahead: null }
    const decision = earlyAlarm(state, {
      at: point.at,
      tau,
      limit: limit.value,
      side,
      horizon: horizonOf(role),
      confidence,
      uncertainty: role.uncertainty,
      outlook: null,
    })
    const ahead = aheadOf(decision.figures, side, limit.value, point.at)
    return { isSo: decision.name === 'notKnownYet' ? null : decision.name === 'raise', ahead }
  }
}

function horizonOf({ follows }: ThermalRole): Millis {
  if (follows === null || follows.by === 'itself') return ofItself
  return millis(Math.min(longest, Math.max(shortest, follows.tau)))
}

/** The animal's side as it is reckoned now. */
export const animalNow = (state: EarlyState): number => state.lag.celsius

function aheadOf(
  { now, trend }: EarlyFigures,
  side: 'low' | 'high',
  limit: number,
  at: Instant,
): LimitAhead | null {
  if (trend === null) return null
  const sign = side === 'low' ? -1 : 1
  const left = sign * (limit - now.celsius)
  const pace = sign * trend.perHour
  if (left <= 0 || pace <= 0 || (left / pace) * hours(1) > farthest) return null
  // The trend's uncertainty holds that of now; what is left is the pace's.
  const perHour = paceUncertainty(now.uncertainty, trend.expected, now.celsius, trend.perHour)
  const meets = (faster: number): Instant | null => {
    const after = pace + faster <= 0 ? Number.POSITIVE_INFINITY : (left / (pace + faster)) * hours(1)
    return after > 2 * farthest ? null : instant(at + Math.round(after))
  }
  const likely = meets(0)
  const soonest = meets(z90 * perHour)
  if (likely === null || soonest === null) return null
  return {
    limit: side === 'low' ? 'lowCritical' : 'highCritical',
    celsius: limit,
    soonest,
    likely,
    latest: meets(-z90 * perHour),
  }
}

function paceUncertainty(
  uncertaintyNow: number,
  expected: { readonly celsius: number; readonly uncertainty: number },
  celsius: number,
  perHour: number,
): number {
  const ahead = perHour === 0 ? 0 : (expected.celsius - celsius) / perHour
  if (!(ahead > 0)) return 0
  return Math.sqrt(Math.max(0, expected.uncertainty ** 2 - uncertaintyNow ** 2)) / ahead
}

function sooner(one: LimitAhead | null, other: LimitAhead | null): LimitAhead | null {
  if (one === null || other === null) return one ?? other
  return one.likely <= other.likely ? one : other
}
