import type { Millis } from '../../schemas/units.ts'
import { minutes } from '../../schemas/amounts.ts'
import { tauOf, type Point } from './lag.ts'
import { fitLeastSquares } from './least-squares.ts'

/** How something answered a step of its surroundings: T = final + (first − final) e^(−t/τ). */
export interface StepResponse {
  readonly tau: Millis
  /** Standard uncertainty of `tau`. */
  readonly tauUncertainty: Millis
  /** Where it settles, °C, and the standard uncertainty of that, K. */
  readonly final: number
  readonly finalUncertainty: number
  /** Scatter of the readings round the curve, K. */
  readonly sd: number
}

/** Three parameters need more than a handful of readings before their scatter means anything. Derived. */
export const fewestReadings = 12
/** The step must stand out of its own scatter by this many standard deviations. Derived: fewer fit a line as well. */
const clearStep = 8
/** A time constant known worse than this share of itself (standard uncertainty of its logarithm) is not known yet. */
export const largestShare = 0.25
/** Time constants tried as starts: the air of a fridge to a cold room's walls. Outside it nothing here answers a step. */
const [shortestTau, longestTau] = [minutes(0.2), minutes(60 * 24 * 10)]
const starts = 40

/**
 * Time constant and final value from the readings after a step (a door, a warm-up, a probe put elsewhere), first
 * reading at or after the step, by least squares. Null is "not known yet": too few readings, no clear step, or a curve
 * that has not bent enough to tell where it goes.
 */
export function tauFromStep(points: readonly Point[]): StepResponse | null {
  const readings = points.filter(({ celsius }) => Number.isFinite(celsius))
  const first = readings[0]
  const last = readings.at(-1)
  if (readings.length < fewestReadings || first === undefined || last === undefined) return null
  const times = readings.map(({ at }) => at - first.at)
  const values = readings.map(({ celsius }) => celsius)
  const span = last.at - first.at
  if (span <= 0) return null

  const best = bestStart(times, values)
  const fitted = fitLeastSquares(([final = 0, step = 0, logTau = 0]) => {
    const rate = Math.exp(-logTau)
    return values.map((value, i) => value - final - step * Math.exp(-(times[i] ?? 0) * rate))
  }, best)
  if (fitted === null) return null
  const [final = 0, step = 0, logTau = 0] = fitted.values
  const share = Math.sqrt(fitted.covariance[2]?.[2] ?? Infinity)
  const tau = Math.exp(logTau)
  if (!(share <= largestShare) || Math.abs(step) < clearStep * fitted.sd) return null
  if (tau < shortestTau || tau > longestTau) return null
  return {
    tau: tauOf(tau),
    tauUncertainty: tauOf(tau * share),
    final,
    finalUncertainty: Math.sqrt(fitted.covariance[0]?.[0] ?? Infinity),
    sd: fitted.sd,
  }
}

/** The best of time constants a step apart: for each, final value and step follow by a straight-line fit. */
function bestStart(times: readonly number[], values: readonly number[]): readonly number[] {
  let best: readonly number[] = [0, 0, 0]
  let least = Infinity
  for (let k = 0; k <= starts; k++) {
    const tau = shortestTau * (longestTau / shortestTau) ** (k / starts)
    const shape = times.map((t) => Math.exp(-t / tau))
    const [final, step] = straightLine(shape, values)
    const squares = values.reduce((sum, v, i) => sum + (v - final - step * (shape[i] ?? 0)) ** 2, 0)
    if (squares < least) [best, least] = [[final, step, Math.log(tau)], squares]
  }
  return best
}

/** Intercept and slope of the least-squares line. */
function straightLine(x: readonly number[], y: readonly number[]): readonly [number, number] {
  const mean = (all: readonly number[]): number => all.reduce((sum, v) => sum + v, 0) / all.length
  const [mx, my] = [mean(x), mean(y)]
  const sxx = x.reduce((sum, v) => sum + (v - mx) ** 2, 0)
  const sxy = x.reduce((sum, v, i) => sum + (v - mx) * ((y[i] ?? 0) - my), 0)
  const slope = sxx > 0 ? sxy / sxx : 0
  return [my - slope * mx, slope]
}
