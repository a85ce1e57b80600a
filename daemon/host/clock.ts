import type { Instant, Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'

/** This machine's clocks: the wall's, which may jump, and the one since boot, which does not. */
export function machineClock(): Clock {
  return {
    now: () => Date.now() as Instant,
    uptime: () => Math.floor(performance.now()) as Millis,
  }
}
