import { hours, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** Most failures are short: a phone between two cells, a service that restarts. A design choice. */
const firstWait: Millis = seconds(5)
/** After an outage of any length the message is there five minutes later. A design choice. */
export const longestWait: Millis = minutes(5)
/**
 * The longest pause that a receiver is granted, whatever the priority: coming back early would be answered with a
 * refusal and a longer pause. The contact's other channels go on, and a pause past `longestWait` counts as failing.
 */
export const longestPause: Millis = hours(1)

/**
 * How long to wait after the `tries`-th try came to nothing: 5 s, doubled with each try, at most 5 min. The wait is cut
 * at random (`chance`: 0 included, 1 left out) to between half of itself and the whole. Random, since all channels fail
 * in the same instant when the network goes, and would otherwise come back in step, at every house, on one receiver.
 * Never below half, since a wait near nothing is a burst, and the mean of what is waited must still grow.
 */
export function nextWait(tries: number, chance: number): Millis {
  const whole = Math.min(firstWait * 2 ** Math.max(0, tries - 1), longestWait)
  return millis(Math.round(whole * (0.5 + chance / 2)))
}

/** How long a receiver that named a time is left alone. */
export const pauseOf = (retryAfter: Millis | null): Millis => millis(Math.min(retryAfter ?? 0, longestPause))
