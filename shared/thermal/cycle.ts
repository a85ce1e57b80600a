import type { Instant, Millis } from '../../schemas/units.ts'
import { hours, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { startLag, stepLag, type LagState, type Point } from './lag.ts'

/** One run of the compressor and the rest after it, from one crest of the air to the next. */
export interface Cycle {
  /** The crest at which it began to cool, and the next one. */
  readonly from: Instant
  readonly to: Instant
  readonly period: Millis
  /** Share of the period in which the air fell, 0 to 1: near the compressor's own, which air and probe follow late. */
  readonly duty: number
  /** The middle of both crests, and the trough between them, °C; and from one to the other, K. */
  readonly crest: number
  readonly trough: number
  readonly amplitude: number
  /** Over the time of the cycle, °C. */
  readonly mean: number
}

/** The way from the last turn on; `unknown` until the air has moved far enough to tell. */
export interface Leg {
  readonly direction: 'falling' | 'rising' | 'unknown'
  /** When and at what temperature it began. */
  readonly since: Instant
  readonly from: number
  /** The farthest that it has come, and when; of an unknown leg the highest. */
  readonly extreme: number
  readonly extremeAt: Instant
  /** The lowest of an unknown leg. */
  readonly low: number
  readonly lowAt: Instant
}

/** What is remembered of one fridge's air. Plain data of one size. */
export interface CycleState {
  /** The newest reading; it is looked at when the one after it shows whether it stood alone. */
  readonly waiting: Point | null
  readonly accepted: Point | null
  readonly smooth: LagState | null
  /** Standard deviation of one reading, K. */
  readonly noise: number
  /** The amplitude of the last cycles, K; 0 when none is known. */
  readonly swing: number
  readonly leg: Leg | null
  readonly crest: Point | null
  readonly trough: Point | null
  /** Integral of the air since the last crest, up to now and up to the leg's extreme, K·ms. */
  readonly area: number
  readonly areaAtExtreme: number
}

/** The worst of common probes, until the readings say better. */
const firstNoise = 0.2

export const noCycles: CycleState = {
  waiting: null,
  accepted: null,
  smooth: null,
  noise: firstNoise,
  swing: 0,
  leg: null,
  crest: null,
  trough: null,
  area: 0,
  areaAtExtreme: 0,
}

/** The smallest turn believed, K. Derived: four steps of 1/16 K, two and a half of 0.1 K. */
export const smallestTurn = 0.25
/** A turn stands out of a reading's noise by this much; smoothed minutes make it seven deviations: by chance once a day. */
const turnOverNoise = 4
/** Share of the usual amplitude that a turn must reach: what is smaller is a ripple on the way. Derived: below a half. */
const turnOfSwing = 0.4
/** An amplitude not seen again counts less and less, so that a thermostat set finer is found again. A design choice. */
const swingForgotten: Millis = hours(3)
/** A little smoothing: it halves the noise of readings a minute apart and leaves those five minutes apart alone. */
const smoothing: Millis = seconds(60)
/** A reading that stands off both neighbours by this many K to the same side stood alone: faster than a fridge's air turns. */
const aloneStep = 1.5
const aloneOverNoise = 6
/** Readings farther apart may hide half a cycle: those of domestic fridges take 20 to 60 min (value from memory). */
export const longestGap: Millis = minutes(15)

/**
 * Moves by one reading of the air; with it the cycle that this reading completes, else null. Turns are found by a
 * hysteresis (the "zigzag" or Schmitt trigger with which rainflow counting reduces a load history to its reversals,
 * ASTM E1049-85): an extreme is a turn once the air has come back from it by more than the noise and the usual
 * swing allow. Readings not newer than the last, and what is no number, change nothing. Constant memory and time.
 */
export function stepCycle(state: CycleState, point: Point): readonly [CycleState, Cycle | null] {
  const { waiting, accepted } = state
  if (!Number.isFinite(point.celsius) || (waiting !== null && point.at <= waiting.at)) return [state, null]
  if (waiting === null) return [{ ...state, waiting: point }, null]
  if (point.at - waiting.at > longestGap) {
    const [now] = accept(state, waiting, point, state.noise)
    return [{ ...now, accepted: null, smooth: null, leg: null, crest: null, trough: null }, null]
  }
  if (accepted === null) return accept(state, waiting, point, state.noise)
  const { residual, isAlone } = compare(accepted, waiting, point, state.noise)
  const noise = nextNoise(state.noise, residual)
  return isAlone ? [{ ...state, waiting: point, noise }, null] : accept(state, waiting, point, noise)
}

/** How far the middle of three readings lies off the line through its neighbours, as the deviation of one reading. */
function compare(older: Point, middle: Point, newer: Point, noise: number) {
  const share = (middle.at - older.at) / (newer.at - older.at)
  const off = middle.celsius - (older.celsius + share * (newer.celsius - older.celsius))
  const residual = Math.abs(off) / Math.sqrt(1 + share ** 2 + (1 - share) ** 2)
  const one = middle.celsius - older.celsius
  const other = middle.celsius - newer.celsius
  const bound = Math.max(aloneStep, aloneOverNoise * noise)
  return { residual, isAlone: one * other > 0 && Math.min(Math.abs(one), Math.abs(other)) > bound }
}

/** Pace at which the noise is learnt, a share a reading: about two hundred readings. A design choice. */
const noisePace = 0.015
/** Between a probe of 0.01 K steps and the worst that still shows a cycle. */
const [leastNoise, mostNoise] = [0.01, 1]

/**
 * The noise from differences of neighbours (Rice, Ann. Stat. 12 (1984) 1215), which the cycle itself hardly moves; its
 * median tracked up or down by one step (Tierney, SIAM J. Sci. Stat. Comput. 4 (1983) 706), so turns and spikes count little.
 */
function nextNoise(noise: number, residual: number): number {
  // The median of |x| of a normal law is 0.6745 of its standard deviation.
  const step = residual > 0.6745 * noise ? noisePace : -noisePace
  return Math.min(mostNoise, Math.max(leastNoise, noise * (1 + step)))
}

/** Takes `point` in, now that `waiting`, the one after it, has shown that it does not stand alone. */
function accept(
  state: CycleState,
  point: Point,
  waiting: Point,
  noise: number,
): readonly [CycleState, Cycle | null] {
  const before = state.smooth
  const smooth = before === null ? startLag(point) : stepLag(before, point, smoothing)
  const value = smooth.celsius
  if (before === null || state.leg === null)
    return [{ ...state, waiting, noise, accepted: point, smooth, leg: legFrom(smooth) }, null]
  const area = state.area + ((before.celsius + value) / 2) * (smooth.at - before.at)
  const { leg } = state
  const isOnward = leg.direction === 'rising' ? value >= leg.extreme : goesOnFalling(leg, value)
  // Written out, once: it is made anew for each of a winter's million readings.
  const next: CycleState = {
    waiting,
    accepted: point,
    smooth,
    noise,
    swing: state.swing,
    leg: isOnward ? onward(leg, smooth.at, value) : leg,
    crest: state.crest,
    trough: state.trough,
    area,
    areaAtExtreme: isOnward ? area : state.areaAtExtreme,
  }
  return isOnward ? [next, null] : turn(next, leg, smooth.at, value)
}

const goesOnFalling = (leg: Leg, value: number): boolean =>
  leg.direction === 'falling' && value <= leg.extreme

function legFrom({ at, celsius }: Point): Leg {
  return {
    direction: 'unknown',
    since: at,
    from: celsius,
    extreme: celsius,
    extremeAt: at,
    low: celsius,
    lowAt: at,
  }
}

function turn(state: CycleState, leg: Leg, at: Instant, value: number): readonly [CycleState, Cycle | null] {
  const leastEver = Math.max(smallestTurn, turnOverNoise * state.noise)
  // No turn, whatever the swing: most readings end here.
  if (leg.direction !== 'unknown' && Math.abs(value - leg.extreme) <= leastEver) return [state, null]
  const swing = state.swing * Math.exp(-(at - leg.since) / swingForgotten)
  const least = Math.max(leastEver, turnOfSwing * swing)
  switch (leg.direction) {
    case 'unknown': {
      const high = value > leg.extreme ? { extreme: value, extremeAt: at } : {}
      const low = value < leg.low ? { low: value, lowAt: at } : {}
      const next = { ...leg, ...high, ...low }
      if (next.extreme - next.low <= least) return [{ ...state, leg: next }, null]
      if (next.extremeAt > next.lowAt) {
        const rising = { ...next, direction: 'rising' as const, since: next.lowAt, from: next.low }
        return [{ ...state, leg: rising }, null]
      }
      const from = next.extreme
      const falling = { ...next, direction: 'falling' as const, since: next.extremeAt, from }
      return [{ ...state, leg: { ...falling, extreme: next.low, extremeAt: next.lowAt } }, null]
    }
    case 'rising': {
      if (leg.extreme - value <= least) return [state, null]
      const crest = { at: leg.extremeAt, celsius: leg.extreme }
      const cycle = cycleTo(state, crest)
      const fresh = back(leg, 'falling', at, value)
      const area = state.area - state.areaAtExtreme
      const next = { ...state, leg: fresh, crest, trough: null, area, areaAtExtreme: area }
      return [cycle === null ? next : { ...next, swing: mixed(state.swing, cycle.amplitude) }, cycle]
    }
    case 'falling': {
      if (value - leg.extreme <= least) return [state, null]
      const trough = { at: leg.extremeAt, celsius: leg.extreme }
      const fresh = back(leg, 'rising', at, value)
      return [{ ...state, leg: fresh, trough, areaAtExtreme: state.area }, null]
    }
    default:
      return leg.direction satisfies never
  }
}

const onward = ({ direction, since, from, low, lowAt }: Leg, at: Instant, value: number): Leg => ({
  direction,
  since,
  from,
  extreme: value,
  extremeAt: at,
  low,
  lowAt,
})

const back = (leg: Leg, direction: 'falling' | 'rising', at: Instant, value: number): Leg => ({
  ...leg,
  direction,
  since: leg.extremeAt,
  from: leg.extreme,
  extreme: value,
  extremeAt: at,
})

/** The amplitude follows the last three or four cycles. */
const mixed = (swing: number, amplitude: number): number =>
  swing === 0 ? amplitude : swing + 0.3 * (amplitude - swing)

function cycleTo({ crest, trough, areaAtExtreme }: CycleState, next: Point): Cycle | null {
  if (crest === null || trough === null) return null
  const period = next.at - crest.at
  const middle = (crest.celsius + next.celsius) / 2
  return {
    from: crest.at,
    to: next.at,
    period: millis(period),
    duty: (trough.at - crest.at) / period,
    crest: middle,
    trough: trough.celsius,
    amplitude: middle - trough.celsius,
    mean: areaAtExtreme / period,
  }
}
