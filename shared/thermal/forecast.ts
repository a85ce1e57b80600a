import type { Millis } from '../../schemas/units.ts'
import { millis } from '../../schemas/amounts.ts'
import type { ThermalModel } from './fit-nodes.ts'
import { decayAt, decayRates, oneNodeDecay, twoNodeDecay, type Decay } from './two-node.ts'
import type { CycleBaseline } from './usual-cycle.ts'

/** A temperature in °C with its standard uncertainty in K. */
export interface Estimate {
  readonly celsius: number
  readonly uncertainty: number
}

/** What a forecast starts from. Of one lump only `load` counts. */
export interface Outlook {
  readonly model: ThermalModel
  readonly air: Estimate
  readonly load: Estimate
  /** Where all would settle: the room after a power cut or with the thermostat stuck off, `stuckOnAt` with it stuck on. */
  readonly towards: Estimate
  /** Whether the room is measured; a forecast with an assumed one must say so. */
  readonly isRoomMeasured: boolean
}

export interface ForecastLimit {
  readonly of: 'air' | 'load'
  readonly celsius: number
  /** `low` is met from above, `high` from below. Meeting it exactly counts. */
  readonly side: 'low' | 'high'
}

/** Times from now; null is never. The true time lies between `earliest` and `latest` in nine cases of ten. */
export interface TimeTo {
  readonly likely: Millis | null
  readonly earliest: Millis | null
  readonly latest: Millis | null
  readonly isRoomMeasured: boolean
}

/** Of the standard normal law: 5 % on either side. */
const z90 = 1.6449

/** How long until each limit is met. What is met already has 0. */
export function timesTo(outlook: Outlook, limits: readonly ForecastLimit[]): readonly TimeTo[] {
  const scans = new Map<'air' | 'load', Scan>()
  return limits.map((limit) => {
    const scan = scans.get(limit.of) ?? scanOf(outlook, limit.of)
    scans.set(limit.of, scan)
    const side = limit.side === 'low' ? -1 : 1
    const meets =
      (spreads: number) =>
      ({ celsius, uncertainty }: Estimate): boolean =>
        side * (celsius + side * spreads * uncertainty - limit.celsius) >= 0
    return {
      likely: firstTime(meets(0), scan),
      earliest: firstTime(meets(z90), scan),
      latest: firstTime(meets(-z90), scan),
      isRoomMeasured: outlook.isRoomMeasured,
    }
  })
}

/** The temperature after any time, with what present temperatures, room and constants leave uncertain. */
export function forecastOf(outlook: Outlook, of: 'air' | 'load'): (after: Millis) => Estimate {
  const bundle = bundleOf(outlook, of)
  return (after) => estimateAt(bundle, after)
}

/**
 * Where the air would settle if the compressor never stopped: at rest it takes out in its share of the time what comes
 * in through the walls, so without a stop it holds 1/duty of the difference. A rough figure: the air's own falling
 * share is longer than the compressor's, which is in the uncertainty.
 */
export function stuckOnAt(room: Estimate, { mean, duty }: CycleBaseline): Estimate {
  const over = room.celsius - mean.middle
  return {
    celsius: room.celsius - over / duty.middle,
    uncertainty: Math.hypot((1 - 1 / duty.middle) * room.uncertainty, (dutyShare * over) / duty.middle),
  }
}

/** Derived: in the simulated fridges the air fell for 0.37 to 0.43 of the time while the compressor ran for 0.31. */
const dutyShare = 0.25

/** A way, and the ways with each source of uncertainty moved up and down by one standard deviation. */
interface Bundle {
  readonly middle: Decay
  readonly pairs: readonly (readonly [up: Decay, down: Decay])[]
}

/** First-order propagation (JCGM 100:2008, 5.1.2 and 5.2.2), the derivatives taken over a whole standard deviation. */
function estimateAt({ middle, pairs }: Bundle, ms: number): Estimate {
  let variance = 0
  for (const [up, down] of pairs) variance += ((decayAt(up, ms) - decayAt(down, ms)) / 2) ** 2
  return { celsius: decayAt(middle, ms), uncertainty: Math.sqrt(variance) }
}

function bundleOf({ model, air, load, towards }: Outlook, of: 'air' | 'load'): Bundle {
  const shifts = modelShifts(model)
  const none = shifts[0]?.map(() => 0) ?? []
  const way = (logs: readonly number[], overAir: number, overLoad: number, overTowards: number): Decay => {
    const to = towards.celsius + overTowards
    if (model.nodes === 1)
      return oneNodeDecay(model.tau * Math.exp(logs[0] ?? 0), load.celsius + overLoad, to)
    const [outside = 0, inside = 0, ofLoad = 0] = logs
    const constants = {
      outside: model.constants.outside * Math.exp(outside),
      inside: model.constants.inside * Math.exp(inside),
      load: model.constants.load * Math.exp(ofLoad),
    }
    return twoNodeDecay(constants, air.celsius + overAir, load.celsius + overLoad, to)[of]
  }
  const both = (at: (sign: number) => Decay): readonly [Decay, Decay] => [at(1), at(-1)]
  return {
    middle: way(none, 0, 0, 0),
    pairs: [
      ...shifts.map((shift) =>
        both((sign) =>
          way(
            shift.map((v) => sign * v),
            0,
            0,
            0,
          ),
        ),
      ),
      both((sign) => way(none, sign * air.uncertainty, 0, 0)),
      both((sign) => way(none, 0, sign * load.uncertainty, 0)),
      both((sign) => way(none, 0, 0, sign * towards.uncertainty)),
    ],
  }
}

/** Independent moves of the constants' logarithms: the columns of the covariance's Cholesky factor. */
function modelShifts(model: ThermalModel): readonly (readonly number[])[] {
  if (model.nodes === 1) return [[model.share]]
  const n = model.covariance.length
  const lower = Array.from({ length: n }, () => new Array<number>(n).fill(0))
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const [one, other] = [lower[i] as number[], lower[j] as number[]]
      let sum = model.covariance[i]?.[j] ?? 0
      for (let k = 0; k < j; k++) sum -= (one[k] as number) * (other[k] as number)
      if (i === j) one[j] = Math.sqrt(Math.max(0, sum))
      else one[j] = other[j] === 0 ? 0 : sum / (other[j] as number)
    }
  }
  return lower.map((_, column) => lower.map((row) => row[column] ?? 0))
}

/** After twenty slow time constants two parts in 10⁹ of the way are left: what is not met by then never is. */
const never = 20
/** Times looked at, evenly in their logarithm from a second on: a way turns once at most, so no crossing hides between. */
const looks = 96
const firstLook = 1000

/** A way with its estimates at the times looked at, from now on. */
interface Scan {
  readonly bundle: Bundle
  readonly seen: readonly (readonly [ms: number, estimate: Estimate])[]
}

function scanOf(outlook: Outlook, of: 'air' | 'load'): Scan {
  const bundle = bundleOf(outlook, of)
  const last = never / bundle.middle.slowRate
  const times = Array.from({ length: looks + 1 }, (_, k) => firstLook * (last / firstLook) ** (k / looks))
  return { bundle, seen: [0, ...times].map((ms) => [ms, estimateAt(bundle, ms)] as const) }
}

function firstTime(meets: (estimate: Estimate) => boolean, { bundle, seen }: Scan): Millis | null {
  const found = seen.findIndex(([, estimate]) => meets(estimate))
  const [ms, before] = [seen[found]?.[0], seen[found - 1]?.[0]]
  if (ms === undefined) return null
  if (before === undefined) return millis(0)
  return millis(Math.round(bisected((at) => meets(estimateAt(bundle, at)), before, ms)))
}

/** To the millisecond: `high` meets, `low` does not. */
function bisected(meets: (ms: number) => boolean, low: number, high: number): number {
  let [from, to] = [low, high]
  while (to - from > 0.5) {
    const half = (from + to) / 2
    if (meets(half)) to = half
    else from = half
  }
  return to
}

/** The slow and the fast time constant of a model, ms: minutes for the air, hours for the load. */
export function timeConstants(model: ThermalModel): readonly Millis[] {
  if (model.nodes === 1) return [model.tau]
  return decayRates(model.constants).map((rate) => millis(Math.round(1 / rate)))
}
