import type { Instant } from '../../schemas/units.ts'

/** How values lay over time: each weighed by how long it held. One size whatever the run's length. */
export interface Spread {
  ms: number
  mean: number
  /** Weighed sum of squares off the mean, K²·ms. */
  squares: number
  min: Extreme | null
  max: Extreme | null
  /** Time in each bin, ms. */
  readonly bins: number[]
}

interface Extreme {
  readonly at: Instant
  readonly value: number
}

/** Percentiles are no finer than this, K; a probe's step is a sixteenth at best. */
const binWidth = 0.1
/** What no place here leaves, °C; values beyond count in the end bins, and as extremes in full. */
const [lowest, highest] = [-40, 80]
const binCount = Math.round((highest - lowest) / binWidth)

export const emptySpread = (): Spread => ({
  ms: 0,
  mean: 0,
  squares: 0,
  min: null,
  max: null,
  bins: new Array<number>(binCount).fill(0),
})

/** Adds a value that held for `ms`; 0 counts for the extremes alone. */
export function addValue(spread: Spread, at: Instant, value: number, ms: number): void {
  if (spread.min === null || value < spread.min.value) spread.min = { at, value }
  if (spread.max === null || value > spread.max.value) spread.max = { at, value }
  if (!(ms > 0)) return
  const bin = Math.min(binCount - 1, Math.max(0, Math.floor((value - lowest) / binWidth)))
  spread.bins[bin] = (spread.bins[bin] ?? 0) + ms
  mix(spread, value, ms, 0)
}

/** Puts all of another in. */
export function addSpread(spread: Spread, other: Spread): void {
  for (const { at, value } of [other.min, other.max].filter((one) => one !== null))
    addValue(spread, at, value, 0)
  if (other.ms === 0) return
  other.bins.forEach((ms, i) => {
    if (ms > 0) spread.bins[i] = (spread.bins[i] ?? 0) + ms
  })
  mix(spread, other.mean, other.ms, other.squares)
}

/** Mean and squares of both together, without the loss of digits of sums (Chan, Golub & LeVeque, Am. Stat. 37 (1983) 242). */
function mix(spread: Spread, mean: number, ms: number, squares: number): void {
  const all = spread.ms + ms
  const off = mean - spread.mean
  spread.squares += squares + (off * off * spread.ms * ms) / all
  spread.mean += (off * ms) / all
  spread.ms = all
}

/** K; 0 while nothing has held for any time. */
export const deviationOf = ({ ms, squares }: Spread): number => (ms > 0 ? Math.sqrt(squares / ms) : 0)

/** The value below which the spread lay for this share of the time; null while nothing has held for any time. */
export function percentile({ bins, ms, min, max }: Spread, share: number): number | null {
  if (!(ms > 0) || min === null || max === null) return null
  let left = share * ms
  for (const [i, held] of bins.entries()) {
    if (held < left) {
      left -= held
      continue
    }
    const value = lowest + (i + (held > 0 ? left / held : 0)) * binWidth
    return Math.min(max.value, Math.max(min.value, value))
  }
  return max.value
}
