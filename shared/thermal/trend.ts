import { hours, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

type Point = readonly [at: Instant, value: number]

/** Stretch that a pace is taken from: two or three runs of a fridge's compressor. A design choice. */
export const paceOver: Millis = minutes(30)
/** Points that are looked at: 30 minutes at 30 s; every pair of them is compared. */
const mostPoints = 60
/** Fewer say nothing about a pace. */
const fewestPoints = 5
/** Further off it is a guess, not a warning. */
const farthest: Millis = hours(12)

/**
 * Change per hour, in the values' own unit: the median of the slopes of all pairs (Sen, P. K., J. Am. Stat. Assoc. 63
 * (1968) 1379), which a spike or a compressor's swing does not move. Null for fewer than five points or no time between.
 */
export function pacePerHour(points: readonly Point[]): number | null {
  const step = Math.max(1, Math.ceil(points.length / mostPoints))
  const some = points.filter((_, i) => (points.length - 1 - i) % step === 0)
  if (some.length < fewestPoints) return null
  const slopes = some
    .flatMap(([at, value], i) =>
      some
        .slice(i + 1)
        .flatMap(([later, next]) => (later === at ? [] : [((next - value) / (later - at)) * hours(1)])),
    )
    .sort((one, other) => one - other)
  const middle = slopes.length / 2
  if (slopes.length === 0) return null
  const [low, high] = [slopes[Math.ceil(middle) - 1], slopes[Math.floor(middle)]]
  return low === undefined || high === undefined ? null : (low + high) / 2
}

/**
 * How long until a straight line at the points' pace meets `limit`, from the last point on; null where it moves away,
 * stands still, is past it or would take more than 12 h. A straight line is too early for what levels off: that is the
 * safe side.
 */
export function timeUntil(limit: number, points: readonly Point[]): Millis | null {
  const last = points.at(-1)
  const pace = pacePerHour(points)
  if (last === undefined || pace === null || pace === 0) return null
  const left = Math.round(((limit - last[1]) / pace) * hours(1))
  return left <= 0 || left > farthest ? null : (left as Millis)
}
