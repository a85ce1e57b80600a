import type { Instant, Millis } from '../../schemas/units.ts'
import { shortestSilence } from '../sensing/freshness.ts'
import { millis } from '../../schemas/amounts.ts'

/** A believed temperature at the instant at which it was read, °C. */
export interface Point {
  readonly at: Instant
  readonly celsius: number
}

/** What is remembered of something that follows the air: an animal, soil, a bottle of water. Plain data. */
export interface LagState {
  readonly at: Instant
  /** The air at `at`, °C. */
  readonly air: number
  /** What follows it, °C. */
  readonly celsius: number
  /**
   * Share of `celsius` that rests on air really measured, 0 to 1; the rest is the guess at the start and what was put
   * into gaps. 0.95 is reached after three time constants.
   */
  readonly known: number
}

/** How the air is thought to go between two readings: held at the older one (L2), or straight from one to the other. */
export type Between = 'held' | 'straight'

/**
 * Begins with the first reading. `celsius` is what follows the air, where somebody measured it; else it is taken to be
 * as warm as the air, of which nothing is known (`known` 0).
 */
export function startLag(point: Point, celsius?: number): LagState {
  return {
    at: point.at,
    air: point.celsius,
    celsius: celsius ?? point.celsius,
    known: celsius === undefined ? 0 : 1,
  }
}

/**
 * Newton's law of cooling, dT/dt = (air − T)/τ, solved exactly over the time since the last reading, so that neither
 * its length nor its irregularity adds an error. `tau` 0 follows at once. A reading that is not newer (L5) or not a
 * number changes nothing. After a gap longer than `freshFor` the air in between counts as not known.
 */
export function stepLag(
  state: LagState,
  point: Point,
  tau: Millis,
  between: Between = 'straight',
  freshFor: Millis = shortestSilence,
): LagState {
  const passed = point.at - state.at
  if (!(passed > 0) || !Number.isFinite(point.celsius)) return state
  const { kept, older, newer } = lagShares(passed, tau, between)
  return {
    at: point.at,
    air: point.celsius,
    celsius: kept * state.celsius + older * state.air + newer * point.celsius,
    known: kept * state.known + (passed <= freshFor ? 1 - kept : 0),
  }
}

/** What follows the air at a later instant, the last air held until then (L2); an earlier instant gives the state's own. */
export function laggedAt(state: LagState, at: Instant, tau: Millis): number {
  const { kept } = lagShares(Math.max(0, at - state.at), tau, 'held')
  return kept * state.celsius + (1 - kept) * state.air
}

/** From this share on the guess at the start no longer counts: three time constants without a gap. */
export const settledFrom = 0.95

/** Whether what follows the air rests on measured air nearly alone. */
export const isSettled = (state: LagState): boolean => state.known >= settledFrom

/** How much of the new value comes from the old one and from the older and newer air. None is negative; they sum to 1. */
export interface LagShares {
  readonly kept: number
  readonly older: number
  readonly newer: number
}

/** The exact solution of first-order lag over `passed` ms as three shares (input held, or a straight line). */
export function lagShares(passed: number, tau: number, between: Between): LagShares {
  const x = passed / tau
  if (!(x > 0)) return { kept: 1, older: 0, newer: 0 }
  const kept = Math.exp(-x)
  if (between === 'held') return { kept, older: -Math.expm1(-x), newer: 0 }
  // The mean of e^(−s) over 0…x; expm1 keeps its digits where the readings lie close together.
  const mean = x === Infinity ? 0 : -Math.expm1(-x) / x
  return { kept, older: Math.max(0, mean - kept), newer: Math.max(0, 1 - mean) }
}

/** A time constant as whole milliseconds. */
export const tauOf = (ms: number): Millis => millis(Math.max(0, Math.round(ms)))
