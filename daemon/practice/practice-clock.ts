import { days, later, millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'

/** The clock of a practice house: it begins in the past, is led to the present, and then follows the real one. */
export interface PracticeClock extends Clock {
  /** What the real clock shows. */
  real(): Instant
  /** Leads it to `at`, never back and never past the real clock. Uptime passes along. */
  advanceTo(at: Instant): void
  /** Follows the real clock from here on. */
  live(): void
}

/** Begins `nights` times 24 h before the real clock's now. */
export function practiceClock(real: Clock, nights: number): PracticeClock {
  const start = later(real.now(), -1 * days(nights))
  let led = start
  let following: { readonly uptime: Millis; readonly realUptime: Millis } | null = null

  const uptime = (): Millis =>
    following === null
      ? millis(led - start)
      : millis(following.uptime + (real.uptime() - following.realUptime))

  return {
    now: () => (following === null ? led : real.now()),
    uptime,
    real: () => real.now(),
    advanceTo(at) {
      if (following !== null) throw new Error('a practice clock that runs live cannot be led')
      if (at < led) throw new Error(`a practice clock cannot be led back from ${led} to ${at}`)
      if (at > real.now()) throw new Error(`a practice clock cannot be led past the real one to ${at}`)
      led = at
    },
    live() {
      if (following !== null) return
      led = later(led, Math.max(0, real.now() - led))
      following = { uptime: millis(led - start), realUptime: real.uptime() }
    },
  }
}
