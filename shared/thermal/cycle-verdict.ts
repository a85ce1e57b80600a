import type { Instant, Millis } from '../../schemas/units.ts'
import { days, hours, millis } from '../../schemas/amounts.ts'
import type { CycleState, Leg } from './cycle.ts'
import { paceOf } from './pace-interval.ts'
import type { Usual } from './running-median.ts'
import {
  type CycleBaseline,
  type CycleLearning,
  enoughCycles,
  type LongestPhases,
  usualCold,
  usualWarm,
} from './usual-cycle.ts'

/** What the fridge's curve says of the fridge, with the figures that say it. Temperatures in °C. */
export type CycleVerdict =
  | { readonly name: 'ok' }
  /** Too few cycles, or nothing since a gap. */
  | { readonly name: 'notKnownYet'; readonly cycles: number; readonly enough: number }
  /** The air warms on past where the compressor always started: plug, mains, compressor. */
  | {
      readonly name: 'notCooling'
      readonly since: Instant
      readonly warmFor: Millis
      readonly usualWarm: Millis
      readonly celsius: number
      readonly usualCrest: number
    }
  /**
   * The air falls on past where the compressor always stopped, or for hours without a stop: thermostat, seal, load, or
   * a room that nobody measures and that is colder than the fridge.
   */
  | {
      readonly name: 'alwaysCooling'
      readonly since: Instant
      readonly coolingFor: Millis
      readonly usualCold: Millis
      readonly celsius: number
      readonly usualTrough: number
    }
  /** The crests or troughs go slowly towards a limit that they do not touch yet. */
  | {
      readonly name: 'drifting'
      readonly since: Instant
      readonly towards: 'low' | 'high'
      /** What moves more: the mean, or the swing round it. */
      readonly of: 'mean' | 'amplitude'
      readonly limit: number
      readonly celsius: number
      readonly perDay: number
      readonly reachesIn: Millis
    }

export interface CycleNow {
  readonly at: Instant
  readonly state: CycleState
  /** Limits of the place in force, null where there is none. */
  readonly low: number | null
  readonly high: number | null
  /** The room, where it is measured: a room colder than the fridge cools it without any compressor. */
  readonly room: number | null
}

/**
 * Warm or cold phases this many times their usual length are no chance. Derived: a warm phase is as long as the room
 * is warmer than the fridge, so a cellar that cools from 20 to 12 °C doubles it; the crest, which must be passed too,
 * does not move with that.
 */
export const phaseMultiple = 2
/**
 * How far past the usual crest or trough, K at least and in spreads of these. Derived: a simulated fridge undershoots
 * by 0.4 K more in a cold cellar.
 */
const pastLeast = 0.5
const pastSpreads = 4
/** A domestic compressor that runs longer without a stop at usual room temperature is not well (value from memory). */
export const longestRun: Millis = hours(3)
/** A room not warmer than the air by more than this may cool it without any compressor: both probes are ±0.5 K. */
export const warmerRoom = 1
/** A drift counts if it meets the limit within this time: a week leaves a weekend to act. A design choice. */
export const driftHorizon: Millis = days(7)
/** Slower than this, K a day, is no drift. Derived: a week of it, 0.35 K, is less than a common probe's error. */
export const slowestDrift = 0.05
/** A drift whose newest half day began longer ago is not told of: nobody knows how it went on. A design choice. */
export const driftForgotten: Millis = days(2)

/** Judges a fridge by what is usual for it. Total, without memory: what it says lasts as long as the curve says it. */
export function cycleVerdict(learning: CycleLearning, now: CycleNow): CycleVerdict {
  const { usual, count } = learning
  if (usual === null) return { name: 'notKnownYet', cycles: count, enough: enoughCycles }
  const { leg } = now.state
  if (leg === null) return { name: 'notKnownYet', cycles: count, enough: enoughCycles }
  return phaseVerdict(usual, leg, now.room, learning.longest) ?? driftVerdict(learning, now) ?? { name: 'ok' }
}

/** How much longer than the longest of late a phase must be. Derived: a room a few kelvin colder than then. */
const longestMultiple = 1.25
/** A phase is too long beyond this, ms: by what is usual, and by what ended by itself of late. */
export const longestUsual = (usually: number, ofLate: number): number =>
  Math.max(phaseMultiple * usually, longestMultiple * ofLate)

/** The highest and lowest that a fridge which is well is expected at. */
export const warmEnd = ({ crest }: CycleBaseline): number => crest.middle + past(crest)
export const coldEnd = ({ trough }: CycleBaseline): number => trough.middle - past(trough)

const past = ({ spread }: Usual): number => Math.max(pastLeast, pastSpreads * spread)

type PhaseVerdict = Extract<CycleVerdict, { name: 'notCooling' | 'alwaysCooling' }>
export type DriftVerdict = Extract<CycleVerdict, { name: 'drifting' }>

/**
 * By the extreme, not the newest reading: a leg whose extreme no longer moves has turned, or will, and noise does not
 * make the verdict come and go.
 */
export function phaseVerdict(
  usual: CycleBaseline,
  leg: Leg,
  room: number | null,
  longest: LongestPhases,
): PhaseVerdict | null {
  const celsius = leg.extreme
  const lasted = leg.extremeAt - leg.since
  switch (leg.direction) {
    case 'unknown':
      return null
    case 'rising': {
      const usualCrest = usual.crest.middle
      const warm = usualWarm(usual)
      if (lasted <= longestUsual(warm, longest.warm) || celsius <= warmEnd(usual)) return null
      const figures = { warmFor: millis(lasted), usualWarm: millis(Math.round(warm)), celsius, usualCrest }
      return { name: 'notCooling', since: leg.since, ...figures }
    }
    case 'falling': {
      const usualTrough = usual.trough.middle
      const cold = usualCold(usual)
      const most = longestUsual(cold, longest.cold)
      const isBelow = lasted > most && celsius < coldEnd(usual)
      // A compressor that runs on pulls the air below its trough, or cannot pull it down; between, the room does it.
      const isEndless = lasted > Math.max(longestRun, most) && celsius >= usual.mean.middle
      if (!(isBelow || isEndless) || (room !== null && room <= celsius + warmerRoom)) return null
      const figures = {
        coolingFor: millis(lasted),
        usualCold: millis(Math.round(cold)),
        celsius,
        usualTrough,
      }
      return { name: 'alwaysCooling', since: leg.since, ...figures }
    }
    default:
      return leg.direction satisfies never
  }
}

/** Compares every half day of the last week with every other: too dear for each reading. */
export function driftVerdict(
  { past }: CycleLearning,
  { at, low, high }: Pick<CycleNow, 'at' | 'low' | 'high'>,
): DriftVerdict | null {
  const [first, last] = [past[0], past.at(-1)]
  if (first === undefined || last === undefined || at - last.at > driftForgotten) return null
  for (const towards of ['low', 'high'] as const) {
    const limit = towards === 'low' ? low : high
    if (limit === null) continue
    const side = towards === 'low' ? -1 : 1
    const edge = past.map((half) => [half.at, half.mean + (side * half.amplitude) / 2] as const)
    const pace = paceOf(edge)
    const celsius = last.mean + (side * last.amplitude) / 2
    const left = (limit - celsius) * side
    if (pace === null || left <= 0) continue
    // Both ends of the interval must point the same way: else it may be chance.
    if (pace.low * pace.high <= 0) continue
    const perDay = pace.perHour * 24
    const reachesIn = (left / (side * perDay)) * days(1)
    if (!(side * perDay >= slowestDrift && reachesIn <= driftHorizon)) continue
    const meanMoves = Math.abs(paceOf(past.map((half) => [half.at, half.mean] as const))?.perHour ?? 0)
    const of = meanMoves >= Math.abs(pace.perHour) / 2 ? 'mean' : 'amplitude'
    // The newest half day stands for its middle; the time since is already gone.
    const gone = Math.max(0, at - last.at - hours(6))
    return {
      name: 'drifting',
      since: first.at,
      towards,
      of,
      limit,
      celsius,
      perDay,
      reachesIn: millis(Math.max(0, Math.round(reachesIn - gone))),
    }
  }
  return null
}
