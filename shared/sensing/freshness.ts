import { millis, minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** Intervals without a reading after which the last value is no longer "now". Derived: one lost message is everyday. */
const intervalsMissed = 2

/**
 * The shortest silence worth an alarm. Derived: a sensor on Wi-Fi misses a message or two every night; a fridge that
 * fails into a 20 °C room passes 8 °C after 27 min (Newton, time constant 2 h), so 10 min leaves time to act.
 */
export const shortestSilence: Millis = minutes(10)

/** How long a value counts as fresh: up to and including two expected intervals. */
export function freshFor(sensor: { readonly expectedEvery: Millis }): Millis {
  return millis(intervalsMissed * sensor.expectedEvery)
}

/** How long a sensor may be silent before that is an alarm: its own figure, else two intervals or 10 min, the longer. */
export function silentAfter(sensor: {
  readonly expectedEvery: Millis
  readonly silentAfter?: Millis | undefined
}): Millis {
  return sensor.silentAfter ?? millis(Math.max(freshFor(sensor), shortestSilence))
}
