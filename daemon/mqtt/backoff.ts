import { millis } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

export interface Backoff {
  /** How long to wait before the next try. */
  next(): Millis
  /** Starts again at the first wait. */
  reset(): void
}

/**
 * Waits that double from `first` up to `cap`, both in ms. Each is cut at random to between half of itself and the
 * whole, so that a house full of programs does not come back to its broker in the same instant.
 * `random`: from 0 (included) to 1 (left out).
 */
export function backoff(first: Millis, cap: Millis, random: () => number): Backoff {
  let whole: number = first
  return {
    next() {
      const wait = millis(Math.round(whole * (0.5 + random() / 2)))
      whole = Math.min(whole * 2, cap)
      return wait
    },
    reset() {
      whole = first
    },
  }
}
