/** What is usual of one figure: its median, and the median distance from it, scaled to be a standard deviation. */
export interface Usual {
  readonly middle: number
  readonly spread: number
}

/** Makes the median absolute deviation of a normal law its standard deviation (Hampel, J. Am. Stat. Assoc. 69 (1974) 383). */
const madToDeviation = 1.4826

/** √(π/2): with steps of this many deviations a median comes nearer as fast as an average of the same memory would. */
const medianPace = 1.25

/** Median and scaled median absolute deviation of a few values; the spread is at least `least` of the median. */
export function usualOf(values: readonly number[], least: (middle: number) => number): Usual {
  const middle = median(values)
  const spread = madToDeviation * median(values.map((value) => Math.abs(value - middle)))
  return { middle, spread: Math.max(spread, least(middle)) }
}

/**
 * Follows with one more value: both figures go up or down by a step, whatever the distance, so that one wild value
 * counts no more than any other (stochastic approximation of a quantile: Tierney, SIAM J. Sci. Stat. Comput. 4 (1983)
 * 706). `share`, 0 to 1, is what one value counts: the memory is its inverse, in values.
 */
export function followUsual(
  { middle, spread }: Usual,
  value: number,
  share: number,
  least: (middle: number) => number,
): Usual {
  const off = value - middle
  const moved = middle + Math.min(medianPace * share * spread, Math.abs(off)) * Math.sign(off)
  const isWider = Math.abs(off) * madToDeviation > spread
  return {
    middle: moved,
    spread: Math.max(spread * Math.exp(medianPace * (isWider ? share : -share)), least(moved)),
  }
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other)
  const half = (sorted.length - 1) / 2
  return ((sorted[Math.floor(half)] ?? Number.NaN) + (sorted[Math.ceil(half)] ?? Number.NaN)) / 2
}
