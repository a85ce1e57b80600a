import type { Instant, Millis } from '../../schemas/units.ts'
import { days, hours, millis } from '../../schemas/amounts.ts'
import type { Leg } from './cycle.ts'
import { paceOf } from './pace-interval.ts'
import type { Usual } from './running-median.ts'
import {
  type CycleBaseline,
  type CycleLearning,
  type LongestPhases,
  usualCold,
  usualWarm,
} from './usual-cycle.ts'

export type PhaseVerdict =
  /** The air warms on past where the compressor always started: plug, mains, compressor. */
  | 'notCooling'
  /**
   * The air falls on past where the compressor always stopped, or for hours without a stop: thermostat, seal, load, or
   * a room that is colder than the fridge.
   */
  | 'alwaysCooling'

/** The crests or troughs go slowly towards a limit that they do not touch yet. Temperatures in °C. */
export interface DriftVerdict {
  readonly towards: 'low' | 'high'
  /** What moves more: the mean, or the swing round it. */
  readonly of: 'mean' | 'amplitude'
  readonly limit: number
  readonly celsius: number
  readonly perDay: number
  readonly reachesIn: Millis
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
/** A drift counts if it meets the limit within this time: a week leaves a weekend to act. A design choice. */
export const driftHorizon: Millis = days(7)
/** Slower than this, K a day, is no drift. Derived: a week of it, 0.35 K, is less than a common probe's error. */
export const slowestDrift = 0.05
/** A drift whose newest half day began longer ago is not told of: nobody knows how it went on. A design choice. */
export const driftForgotten: Millis = days(2)

/** How much longer than the longest of late a phase must be. Derived: a room a few kelvin colder than then. */
const longestMultiple = 1.25
/** A phase is too long beyond this, ms: by what is usual, and by what ended by itself of late. */
const longestUsual = (usually: number, ofLate: number): number =>
  Math.max(phaseMultiple * usually, longestMultiple * ofLate)

/** The highest and lowest that a fridge which is well is expected at. */
export const warmEnd = ({ crest }: CycleBaseline): number => crest.middle + past(crest)
export const coldEnd = ({ trough }: CycleBaseline): number => trough.middle - past(trough)

const past = ({ spread }: Usual): number => Math.max(pastLeast, pastSpreads * spread)

/**
 * What a phase that is too long says; null while it is usual. By the extreme, not the newest reading: a leg whose extreme no
 * longer moves has turned, or will, and noise does not make the verdict come and go.
 */
export function phaseVerdict(usual: CycleBaseline, leg: Leg, longest: LongestPhases): PhaseVerdict | null {
  const celsius = leg.extreme
  const lasted = leg.extremeAt - leg.since
  switch (leg.direction) {
    case 'unknown':
      return null
    case 'rising': {
      const isLong = lasted > longestUsual(usualWarm(usual), longest.warm)
      return isLong && celsius > warmEnd(usual) ? 'notCooling' : null
    }
    case 'falling': {
      const most = longestUsual(usualCold(usual), longest.cold)
      const isBelow = lasted > most && celsius < coldEnd(usual)
      // A compressor that runs on pulls the air below its trough, or cannot pull it down; between, the room does it.
      const isEndless = lasted > Math.max(longestRun, most) && celsius >= usual.mean.middle
      return isBelow || isEndless ? 'alwaysCooling' : null
    }
    default:
      return leg.direction satisfies never
  }
}

/** Compares every half day of the last week with every other: too dear for each reading. */
export function driftVerdict(
  { past }: CycleLearning,
  { at, low, high }: { readonly at: Instant; readonly low: number | null; readonly high: number | null },
): DriftVerdict | null {
  const last = past.at(-1)
  if (last === undefined || at - last.at > driftForgotten) return null
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
