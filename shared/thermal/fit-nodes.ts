import type { Instant, Millis } from '../../schemas/units.ts'
import { lagShares, tauOf } from './lag.ts'
import { fitLeastSquares, type Fitted } from './least-squares.ts'
import { fewestReadings, largestShare } from './step-response.ts'
import { decayAt, twoNodeDecay, type TwoNodes } from './two-node.ts'

/** A fridge as one lump or as air and load. Uncertainties are of the logarithms, that is shares of each constant. */
export type ThermalModel =
  | { readonly nodes: 1; readonly tau: Millis; readonly share: number }
  | {
      readonly nodes: 2
      readonly constants: TwoNodes
      /** Of the logarithms of outside, inside and load, in this order. */
      readonly covariance: readonly (readonly number[])[]
    }

/** A reading of a lump with the room's at the same instant, °C. */
export interface LumpReading {
  readonly at: Instant
  readonly celsius: number
  readonly room: number
}

/** A reading of air and load with the room's at the same instant, °C. */
export interface NodesReading {
  readonly at: Instant
  readonly air: number
  readonly load: number
  readonly room: number
}

/** More readings of one stretch are thinned: the fit costs milliseconds and the curve is smooth (X3). */
const mostFitted = 240

/**
 * The time constant from a passive stretch: no compressor, no heater, door closed. `roomUncertainty` is the standard
 * uncertainty of the room, K, common to the stretch; it must be given honestly, for a room wrong by 2 K in 15 makes the
 * constant wrong by a seventh. Null is "not known yet": too few readings, or a constant known worse than by a quarter.
 */
export function fitOneNode(
  readings: readonly LumpReading[],
  roomUncertainty: number,
): (ThermalModel & { readonly nodes: 1 }) | null {
  const some = thinned(readings.filter((r) => Number.isFinite(r.celsius) && Number.isFinite(r.room)))
  const first = some[0]
  if (some.length < fewestReadings || first === undefined) return null
  const fit = (shift: number): Fitted | null => {
    const residuals = ([logTau = 0, start = 0]: readonly number[]): number[] =>
      lumpResiduals(some, Math.exp(logTau), start, shift)
    const starts = [0.2, 1, 4, 16, 64].map((h) => [Math.log(h * hour), first.celsius])
    return fitLeastSquares(residuals, bestOf(starts, residuals))
  }
  const fitted = withRoom(fit, 1, roomUncertainty)
  if (fitted === null) return null
  const share = Math.sqrt(fitted.covariance[0]?.[0] ?? Infinity)
  return share <= largestShare ? { nodes: 1, tau: tauOf(Math.exp(fitted.logs[0] ?? 0)), share } : null
}

/** As `fitOneNode`, for air and load measured together. Null where any of the three constants is not known yet. */
export function fitTwoNodes(
  readings: readonly NodesReading[],
  roomUncertainty: number,
): (ThermalModel & { readonly nodes: 2 }) | null {
  const some = thinned(readings.filter((r) => [r.air, r.load, r.room].every(Number.isFinite)))
  const first = some[0]
  if (some.length < fewestReadings || first === undefined) return null
  const fit = (shift: number): Fitted | null => {
    const residuals = ([
      outside = 0,
      inside = 0,
      load = 0,
      air = 0,
      start = 0,
    ]: readonly number[]): number[] =>
      nodesResiduals(
        some,
        { outside: Math.exp(outside), inside: Math.exp(inside), load: Math.exp(load) },
        [air, start],
        shift,
      )
    return fitLeastSquares(residuals, bestOf(nodesStarts(first), residuals))
  }
  const fitted = withRoom(fit, 3, roomUncertainty)
  if (fitted === null) return null
  if (fitted.covariance.some((row, i) => !(Math.sqrt(row[i] ?? Infinity) <= largestShare))) return null
  const [outside = 1, inside = 1, load = 1] = fitted.logs.map((log) => Math.exp(log))
  return { nodes: 2, constants: { outside, inside, load }, covariance: fitted.covariance }
}

const hour = 3_600_000

/** The first `size` parameters, with what the room's uncertainty adds: how far they move when the room moves by it. */
function withRoom(fit: (shift: number) => Fitted | null, size: number, roomUncertainty: number) {
  const here = fit(0)
  const there = roomUncertainty > 0 ? fit(roomUncertainty) : here
  if (here === null || there === null) return null
  const logs = here.values.slice(0, size)
  const moved = logs.map((value, i) => (there.values[i] ?? value) - value)
  const covariance = moved.map((one, i) =>
    moved.map((other, j) => (here.covariance[i]?.[j] ?? Infinity) + one * other),
  )
  return { logs, covariance }
}

function thinned<T>(readings: readonly T[]): readonly T[] {
  const step = Math.max(1, Math.ceil(readings.length / mostFitted))
  return readings.filter((_, i) => i % step === 0)
}

function bestOf(
  starts: readonly (readonly number[])[],
  residuals: (values: readonly number[]) => readonly number[],
): readonly number[] {
  let best: readonly number[] = starts[0] ?? []
  let least = Infinity
  for (const start of starts) {
    const squares = residuals(start).reduce((sum, r) => sum + r * r, 0)
    if (squares < least) [best, least] = [start, squares]
  }
  return best
}

/** Ways through every order of magnitude that a fridge, a cold room or a box has. */
function nodesStarts(first: NodesReading): readonly (readonly number[])[] {
  return [0.3, 1, 4].flatMap((outside) =>
    [0.05, 0.25, 1].flatMap((inside) =>
      [1, 5, 20].map((load) => [
        ...[outside, inside, load].map((h) => Math.log(h * hour)),
        first.air,
        first.load,
      ]),
    ),
  )
}

function lumpResiduals(
  readings: readonly LumpReading[],
  tau: number,
  start: number,
  shift: number,
): number[] {
  let value = start
  return readings.map((reading, i) => {
    const before = readings[i - 1]
    if (before !== undefined) {
      const { kept, older, newer } = lagShares(Math.max(0, reading.at - before.at), tau, 'straight')
      value = kept * value + older * (before.room + shift) + newer * (reading.room + shift)
    }
    return reading.celsius - value
  })
}

function nodesResiduals(
  readings: readonly NodesReading[],
  nodes: TwoNodes,
  [airAtFirst, loadAtFirst]: readonly [number, number],
  shift: number,
): number[] {
  const [ofAir, ofLoad]: [number[], number[]] = [[], []]
  let [air, load] = [airAtFirst, loadAtFirst]
  readings.forEach((reading, i) => {
    const before = readings[i - 1]
    if (before !== undefined) {
      const passed = Math.max(0, reading.at - before.at)
      const decay = twoNodeDecay(nodes, air, load, (before.room + reading.room) / 2 + shift)
      ;[air, load] = [decayAt(decay.air, passed), decayAt(decay.load, passed)]
    }
    ofAir.push(reading.air - air)
    ofLoad.push(reading.load - load)
  })
  return [...ofAir, ...ofLoad]
}
