import type { Instant } from '../../schemas/units.ts'
import { hours } from '../../schemas/amounts.ts'

/** A pace in the values' own unit per hour, and the ends of its 95 % interval. */
export interface Pace {
  readonly perHour: number
  readonly low: number
  readonly high: number
}

/** With fewer the interval reaches past the outermost slopes, and says nothing. */
const fewestForPace = 6
/** Every pair is compared: the bound keeps that in the hundreds (X3). */
const mostForPace = 24
/** Of the standard normal law, both sides of 95 %. */
const z95 = 1.96

/**
 * The median of the slopes of all pairs with its interval by Kendall's variance n(n − 1)(2n + 5)/18 (Sen, J. Am. Stat.
 * Assoc. 63 (1968) 1379): robust against three wild points in ten. The newest 24 points count. Null for fewer than six.
 */
export function paceOf(points: readonly (readonly [at: Instant, value: number])[]): Pace | null {
  const some = points.slice(-mostForPace)
  const n = some.length
  if (n < fewestForPace) return null
  const all = new Float64Array((n * (n - 1)) / 2)
  let count = 0
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const [from, to] = [some[i], some[j]]
      if (from === undefined || to === undefined || to[0] === from[0]) continue
      all[count++] = ((to[1] - from[1]) / (to[0] - from[0])) * hours(1)
    }
  }
  if (count === 0) return null
  const slopes = all.subarray(0, count).sort() // a typed array sorts by number
  const reach = z95 * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18)
  const at = (place: number): number => slopes[Math.min(count - 1, Math.max(0, Math.round(place)))] as number
  const middle = (count - 1) / 2
  return {
    perHour: (at(Math.floor(middle)) + at(Math.ceil(middle))) / 2,
    low: at((count - reach) / 2 - 1),
    high: at((count + reach) / 2),
  }
}
