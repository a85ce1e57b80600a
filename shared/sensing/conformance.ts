import type { LimitName } from '../../schemas/band.ts'
import { chanceBelow } from '../thermal/normal-law.ts'
import { say } from '../words/say.ts'

/** The safe values, both ends among them; an end left out has no limit. */
export interface Tolerance {
  readonly low?: number | undefined
  readonly high?: number | undefined
}

/** A reading with its standard uncertainty (k = 1). */
export interface Measured {
  readonly value: number
  readonly u: number
}

/** ILAC-G8:09/2019, 4.2.3: what may be said of a reading near a limit. In `conditional…` either may be true. */
export type Zone = 'pass' | 'conditionalPass' | 'conditionalFail' | 'fail'

export type GuardedBand =
  | { readonly ok: true; readonly value: Tolerance }
  | { readonly ok: false; readonly error: 'noRoom'; readonly sentence: string }

/** Chance that the true value is at or below the limit (JCGM 106:2012, normal case; from memory). */
export const chanceTrueBelow = (limit: number, { value, u }: Measured): number => chanceBelow(limit, value, u)

/** Chance that the true value is above the limit. */
export const chanceTrueAbove = (limit: number, { value, u }: Measured): number =>
  1 - chanceBelow(limit, value, u)

/** Chance that the true value is within: p_c = Φ((T_U − y)/u) − Φ((T_L − y)/u) (JCGM 106:2012; from memory). */
export function chanceTrueWithin(
  { low = -Infinity, high = Infinity }: Tolerance,
  measured: Measured,
): number {
  const { value, u } = measured
  if (!(u > 0)) return value >= low && value <= high ? 1 : 0
  return Math.max(0, chanceTrueBelow(high, measured) - chanceTrueBelow(low, measured))
}

/**
 * The limit moved inwards by the guard band w = U (L9; ILAC-G8:09/2019, 4; JCGM 106:2012, guarded acceptance): of
 * readings that still pass there, fewer than 2.5 of 100 are out in truth.
 */
export const guardedLimit = (limit: LimitName, value: number, expanded: number): number =>
  isLow(limit) ? value + expanded : value - expanded

/** Both limits moved inwards; refused when the sensor is too unsure for so narrow a band. */
export function guardedBand({ low, high }: Tolerance, expanded: number): GuardedBand {
  const value = {
    ...(low === undefined ? {} : { low: guardedLimit('low', low, expanded) }),
    ...(high === undefined ? {} : { high: guardedLimit('high', high, expanded) }),
  }
  if (value.low === undefined || value.high === undefined || value.low <= value.high)
    return { ok: true, value }
  return {
    ok: false,
    error: 'noRoom',
    sentence: say(
      'This sensor is too unsure for so narrow a band: check it against ice, or take a better one.',
    ),
  }
}

/** Whether a reading passes with guard band w (0 is simple acceptance): the binary rule, the guarded limit itself passes. */
export const isAccepted = (
  { low = -Infinity, high = Infinity }: Tolerance,
  value: number,
  w: number,
): boolean => value >= low + w && value <= high - w

/** The non-binary rule with w = U: of two limits the worse zone counts. */
export function zoneOf(tolerance: Tolerance, value: number, expanded: number): Zone {
  if (isAccepted(tolerance, value, expanded)) return 'pass'
  if (isAccepted(tolerance, value, 0)) return 'conditionalPass'
  return isAccepted(tolerance, value, -expanded) ? 'conditionalFail' : 'fail'
}

function isLow(limit: LimitName): boolean {
  switch (limit) {
    case 'lowCritical':
    case 'low':
      return true
    case 'high':
    case 'highCritical':
      return false
    default:
      return limit satisfies never
  }
}
