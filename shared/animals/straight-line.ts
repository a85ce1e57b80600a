/** A straight line through points, with the 95 % interval of its slope where more than two points carry it. */
export interface StraightLine {
  readonly slope: number
  readonly atZero: number
  readonly points: number
  readonly interval: { readonly low: number; readonly high: number } | null
}

export interface Point {
  readonly x: number
  readonly y: number
}

/**
 * Ordinary least squares; the interval by Student's t with n − 2 degrees of freedom. `step`: the resolution of
 * y, whose rounding (step²/12, GUM F.2.2.1) is the least scatter that is believed: three points on a line by
 * chance are no certainty. Null where all stand at one x, or where there are fewer than two.
 */
export function straightLine(points: readonly Point[], step = 0): StraightLine | null {
  const n = points.length
  if (n < 2) return null
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / n
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / n
  const spread = points.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0)
  if (!(spread > 0)) return null
  const slope = points.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0) / spread
  const atZero = meanY - slope * meanX
  if (n < 3) return { slope, atZero, points: n, interval: null }
  const rest = points.reduce((sum, { x, y }) => sum + (y - atZero - slope * x) ** 2, 0)
  const variance = Math.max(rest / (n - 2), step ** 2 / 12)
  const half = studentT95(n - 2) * Math.sqrt(variance / spread)
  return { slope, atZero, points: n, interval: { low: slope - half, high: slope + half } }
}

/**
 * Two-sided 95 % point of Student's t: the table of the NIST/SEMATECH e-Handbook 1.3.6.7.2, beyond it Abramowitz
 * & Stegun 26.7.5.
 */
export function studentT95(degrees: number): number {
  const told = table[degrees - 1]
  if (told !== undefined) return told
  const [z, v] = [1.959_963_985, degrees]
  const first = (z ** 3 + z) / 4
  const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96
  const third = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384
  return z + first / v + second / v ** 2 + third / v ** 3
}

const table: readonly number[] = [
  12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145, 2.131,
  2.12, 2.11, 2.101, 2.093, 2.086, 2.08, 2.074, 2.069, 2.064, 2.06, 2.056, 2.052, 2.048, 2.045, 2.042,
]
