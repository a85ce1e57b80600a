import type { Instant } from '../../schemas/units.ts'
import { days, hours, instant, later } from '../../schemas/amounts.ts'
import type { Cycle } from './cycle.ts'
import { followUsual, usualOf, type Usual } from './running-median.ts'

/** What this fridge does when it is well. Period in ms; mean, crest and trough in °C; amplitude in K. */
export interface CycleBaseline {
  readonly period: Usual
  readonly duty: Usual
  readonly amplitude: Usual
  readonly mean: Usual
  readonly crest: Usual
  readonly trough: Usual
}

/** Half a day in few figures: the averages over its cycles. */
export interface HalfDay {
  readonly at: Instant
  readonly cycles: number
  readonly mean: number
  readonly amplitude: number
}

/** The longest phases of late that ended by themselves, ms; 0 while there were none. */
export interface LongestPhases {
  readonly warm: number
  readonly cold: number
}

/** What is remembered of a fridge's cycles. Plain data, bounded. */
export interface CycleLearning {
  /** Cycles seen since it began to learn. */
  readonly count: number
  /** The end of the last one. */
  readonly at: Instant
  /** Kept until there are enough of them. */
  readonly first: readonly Cycle[]
  /** Null until enough cycles were seen. */
  readonly usual: CycleBaseline | null
  /** The last week, oldest first; the half day that runs is not yet in it. */
  readonly past: readonly HalfDay[]
  readonly running: HalfDay | null
  readonly longest: LongestPhases
}

export const nothingLearnt: CycleLearning = {
  count: 0,
  at: instant(0),
  first: [],
  usual: null,
  past: [],
  running: null,
  longest: { warm: 0, cold: 0 },
}

/** Cycles before anything is called usual: some hours of a domestic fridge, and a median that two doors do not move. */
export const enoughCycles = 8
/** What is usual follows the last days: long enough to outlast a warm weekend, short enough to follow the seasons. */
const forgottenAfter = days(3)
/** A gap counts for no more than this: the first cycle after it is one cycle still. */
const mostAtOnce = hours(6)
/** After a longer pause the fridge may have been moved, filled or set anew: learning starts again. A design choice. */
const startAgainAfter = days(14)
/** A week of half days: what drifts slower is seen by eye, and Sen's slope compares each with each. */
const mostHalfDays = 14
/** No figure is called usual more narrowly than this share of itself: turns fall between two readings. */
const leastSpread = 0.03
/** Of a figure in °C a share means nothing; K. Derived: a step of a coarse display. */
const leastCelsiusSpread = 0.1

/**
 * Learns from one finished cycle. The first eight give medians and spreads; from then on these follow, and what is
 * older is forgotten exponentially over three days. Cycles not newer than the last change nothing.
 */
export function learnCycle(learning: CycleLearning, cycle: Cycle): CycleLearning {
  if (cycle.to <= learning.at) return learning
  if (learning.count > 0 && cycle.to - learning.at > startAgainAfter) return learnCycle(nothingLearnt, cycle)
  const counted = { ...learning, ...withHalfDay(learning, cycle), count: learning.count + 1, at: cycle.to }
  const { usual } = learning
  if (usual === null) {
    const first = [...learning.first, cycle]
    return first.length < enoughCycles
      ? { ...counted, first }
      : { ...counted, first: [], usual: each((of, least) => usualOf(first.map(of), least)) }
  }
  const share = 1 - Math.exp(-Math.min(mostAtOnce, cycle.to - learning.at) / forgottenAfter)
  return { ...counted, usual: each((of, least, key) => followUsual(usual[key], of(cycle), share, least)) }
}

/** A phase that ended by itself is forgotten over a week: what a fridge did of late is no fault when it does it again. */
const longestForgotten = days(7)
/** A longer one was a fault or the room, and teaches nothing more than this. A design choice. */
const longestTaught = hours(6)

/**
 * Remembers how long the phases of a finished cycle were, usual or not. A fridge in a frosty room, with a heater, breathes
 * in two rhythms, and its medians know but one.
 */
export function noteLongest(
  learning: CycleLearning,
  { period, duty }: Pick<Cycle, 'period' | 'duty'>,
): CycleLearning {
  const kept = Math.exp(-period / longestForgotten)
  const longer = (before: number, now: number): number =>
    Math.round(Math.max(before * kept, Math.min(now, longestTaught)))
  const { warm, cold } = learning.longest
  return {
    ...learning,
    longest: { warm: longer(warm, period * (1 - duty)), cold: longer(cold, period * duty) },
  }
}

/** Time for which the air usually warms, and falls, in each cycle, ms. */
export const usualWarm = ({ period, duty }: CycleBaseline): number => period.middle * (1 - duty.middle)
export const usualCold = ({ period, duty }: CycleBaseline): number => period.middle * duty.middle

/** Pace at which the air usually warms between two runs, K/ms. */
export const usualPace = (usual: CycleBaseline): number => usual.amplitude.middle / usualWarm(usual)

function each(
  figure: (
    of: (cycle: Cycle) => number,
    least: (middle: number) => number,
    key: keyof CycleBaseline,
  ) => Usual,
): CycleBaseline {
  const share = (middle: number): number => leastSpread * Math.abs(middle)
  const step = (): number => leastCelsiusSpread
  return {
    period: figure((cycle) => cycle.period, share, 'period'),
    duty: figure((cycle) => cycle.duty, share, 'duty'),
    amplitude: figure((cycle) => cycle.amplitude, share, 'amplitude'),
    mean: figure((cycle) => cycle.mean, step, 'mean'),
    crest: figure((cycle) => cycle.crest, step, 'crest'),
    trough: figure((cycle) => cycle.trough, step, 'trough'),
  }
}

/** To a tenth of a millikelvin, for a week of them is kept. Never minus nothing. */
const done = ({ at, cycles, mean, amplitude }: HalfDay): HalfDay => ({
  at,
  cycles,
  mean: Math.round(mean * 1e4) / 1e4 + 0,
  amplitude: Math.round(amplitude * 1e4) / 1e4,
})

function withHalfDay(learning: CycleLearning, cycle: Cycle): Pick<CycleLearning, 'past' | 'running'> {
  const { running, past } = learning
  // Counted from the first cycle on, not by the calendar: a clock that is set changes nothing (N3).
  const first = running?.at ?? cycle.to
  const at = later(first, Math.floor((cycle.to - first) / hours(12)) * hours(12))
  if (running === null || running.at !== at) {
    return {
      running: { at, cycles: 1, mean: cycle.mean, amplitude: cycle.amplitude },
      past: running === null ? past : [...past, done(running)].slice(-mostHalfDays),
    }
  }
  const cycles = running.cycles + 1
  return {
    past,
    running: {
      at,
      cycles,
      mean: running.mean + (cycle.mean - running.mean) / cycles,
      amplitude: running.amplitude + (cycle.amplitude - running.amplitude) / cycles,
    },
  }
}
