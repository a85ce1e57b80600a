import { hours, later, minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { lagShares, type Point, tauOf } from './lag.ts'
import { fitLeastSquares } from './least-squares.ts'
import { fewestReadings, largestShare } from './step-response.ts'

/** How a probe in the substrate followed the air around it. */
interface LagFit {
  readonly tau: Millis
  /** Standard uncertainty of `tau`. */
  readonly uncertainty: Millis
  /** By how much the probe reads above what follows the air, K: the two sensors' own difference, or a warm floor. */
  readonly above: number
  /** The stretch that it rests on. */
  readonly from: Instant
  readonly to: Instant
}

export type LagUnknown = 'tooShort' | 'tooSteady' | 'notByTheAir'

export type LagFound =
  | { readonly ok: true; readonly fit: LagFit }
  | { readonly ok: false; readonly why: LagUnknown }

/** Means over this long are compared: a compressor's run is still seen in them, and a week is 2,016 of them. */
export const lagStep: Millis = minutes(5)
/** A hole longer than this ends a stretch: what the air did meanwhile nobody knows. */
const longestHole: Millis = minutes(30)
/** Soil in a box needs hours to answer; with less than this even a good fit is one swing's word. Derived. */
const shortestStretch: Millis = hours(12)
/** Time constants tried as starts: a mouse's worth of sand to a cellar's floor. */
const [shortestTau, longestTau] = [minutes(3), hours(72)]
const starts = 30
/** Less of what the probe did than this explained by the air, and something else warms it. Derived. */
const leastExplained = 0.75
/** The probe must move this much more than a display's step, K, standard deviation, to tell anything. Derived. */
const smallestSpread = 0.05

/**
 * Time constant with which `follower` follows `air`, by least squares of the first-order lag (L11) with an offset and a
 * free start. Steps (a door, a warm-up, a thermostat turned) tell the most; the air's own swing will do. Both oldest
 * first. The newest stretch without a hole counts.
 */
export function fitLag(air: readonly Point[], follower: readonly Point[]): LagFound {
  const { inputs, outputs, from } = paired(air, follower)
  const span = inputs.length * lagStep
  if (span < shortestStretch || outputs.length < fewestReadings) return { ok: false, why: 'tooShort' }
  const mean = outputs.reduce((sum, value) => sum + value, 0) / outputs.length
  const total = outputs.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  if (Math.sqrt(total / outputs.length) < smallestSpread) return { ok: false, why: 'tooSteady' }

  const left = ([logTau = 0, above = 0, start = 0]: readonly number[]): number[] => {
    const shares = lagShares(lagStep, Math.exp(logTau), 'straight')
    let follows = start
    return outputs.map((value, i) => {
      if (i > 0)
        follows =
          shares.kept * follows + shares.older * (inputs[i - 1] ?? 0) + shares.newer * (inputs[i] ?? 0)
      return value - follows - above
    })
  }
  const fitted = fitLeastSquares(left, bestStart(left, outputs, inputs))
  if (fitted === null) return { ok: false, why: 'tooSteady' }
  const [logTau = 0, above = 0] = fitted.values
  const squares = left(fitted.values).reduce((sum, value) => sum + value ** 2, 0)
  if (1 - squares / total < leastExplained) return { ok: false, why: 'notByTheAir' }
  const share = Math.sqrt(fitted.covariance[0]?.[0] ?? Infinity)
  const tau = Math.exp(logTau)
  // A lag that is not over within half the stretch is a drift as far as anyone can tell.
  if (!(share <= largestShare) || tau > span / 2) return { ok: false, why: 'tooShort' }
  if (tau < shortestTau || tau > longestTau) return { ok: false, why: 'notByTheAir' }
  return {
    ok: true,
    fit: {
      tau: tauOf(tau),
      uncertainty: tauOf(tau * share),
      above,
      from,
      to: later(from, span),
    },
  }
}

/** Means of both in the same steps of time, of the newest stretch in which neither is missing for long. */
function paired(
  air: readonly Point[],
  follower: readonly Point[],
): { readonly inputs: readonly number[]; readonly outputs: readonly number[]; readonly from: Instant } {
  const [inputs, outputs] = [meansOf(air), meansOf(follower)]
  const both = [...outputs.keys()].filter((step) => inputs.has(step)).toSorted((one, other) => one - other)
  let first = both.length - 1
  while (first > 0 && ((both[first] ?? 0) - (both[first - 1] ?? 0)) * lagStep <= longestHole) first--
  const [begin = 0, end = -1] = [both[first], both.at(-1)]
  const steps = Array.from({ length: end - begin + 1 }, (_, i) => begin + i)
  return {
    inputs: filled(steps, inputs),
    outputs: filled(steps, outputs),
    from: (begin * lagStep) as Instant,
  }
}

function meansOf(points: readonly Point[]): ReadonlyMap<number, number> {
  const sums = new Map<number, { sum: number; count: number }>()
  for (const { at, celsius } of points) {
    if (!Number.isFinite(celsius)) continue
    const step = Math.floor(at / lagStep)
    const so = sums.get(step) ?? { sum: 0, count: 0 }
    sums.set(step, { sum: so.sum + celsius, count: so.count + 1 })
  }
  return new Map([...sums].map(([step, { sum, count }]) => [step, sum / count]))
}

/** A short hole is bridged with what was there before it. */
function filled(steps: readonly number[], means: ReadonlyMap<number, number>): readonly number[] {
  let last = 0
  return steps.map((step) => (last = means.get(step) ?? last))
}

function bestStart(
  left: (values: readonly number[]) => readonly number[],
  outputs: readonly number[],
  inputs: readonly number[],
): readonly number[] {
  const [first = 0, air = 0] = [outputs[0], inputs[0]]
  let best: readonly number[] = [Math.log(hours(1)), 0, first]
  let least = Infinity
  for (let k = 0; k <= starts; k++)
    for (const start of [first, air]) {
      const tau = shortestTau * (longestTau / shortestTau) ** (k / starts)
      const given = [Math.log(tau), 0, start]
      const residuals = left(given)
      const above = residuals.reduce((sum, value) => sum + value, 0) / residuals.length
      const squares = residuals.reduce((sum, value) => sum + (value - above) ** 2, 0)
      if (squares < least) [best, least] = [[Math.log(tau), above, start], squares]
    }
  return best
}
