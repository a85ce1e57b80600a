import { minutes } from '../../schemas/amounts.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { type CycleState, noCycles, stepCycle } from './cycle.ts'
import { type DoorSeen, type DoorState, doorUnknown, stepDoor } from './door.ts'
import type { Point } from './lag.ts'
import { followUsual, type Usual, usualOf } from './running-median.ts'
import { addSpread, addValue, emptySpread, type Spread } from './trial-spread.ts'
import type { Stretch } from './trial-times.ts'
import { type CycleLearning, learnCycle, nothingLearnt } from './usual-cycle.ts'

/** A limit of some species in hold. */
export interface HoldLimit {
  readonly limit: LimitName
  readonly value: number
  readonly inclusive: boolean
}

/** How one sensor is followed through a run. */
export interface WalkRules {
  readonly run: Stretch
  /** A value holds until the next, or for this long (L2). */
  readonly holds: Millis
  /** Whether runs of a compressor and doors are read from its curve. */
  readonly isAir: boolean
  readonly skips: readonly Stretch[]
  readonly plugs: readonly Stretch[]
  /** In order. */
  readonly nights: readonly Stretch[]
  readonly limits: readonly HoldLimit[]
}

/** Sum of values weighed by time, for a mean. */
interface Weighed {
  sum: number
  ms: number
}

/** What is known of one sensor so far. It changes with each reading and keeps its size. */
export interface TrialWalk {
  readonly rules: WalkRules
  last: Point | null
  readings: number
  /** All that counts but doors; and what may turn out to be one. */
  readonly steady: Spread
  maybeDoor: Spread
  /** Time beyond each limit, ms, doors with it; and all of the time counted. */
  readonly beyond: number[]
  known: number
  readonly day: Weighed
  readonly night: Weighed
  cycle: CycleState
  learning: CycleLearning
  door: DoorState
  doors: number
  recoveries: number[]
  recovery: Usual | null
  longestRecovery: number | null
  highestRise: number | null
  /** Of each time with its plug out, a reading every other minute. */
  readonly unplugged: readonly Point[][]
}

/** Readings closer together tell nothing more of a time constant of hours. */
const unpluggedEvery = minutes(2)
/** Two days of them (X3). */
const mostUnplugged = 1440
/** Openings before their usual recovery is followed rather than kept one by one (X3). */
const keptRecoveries = 32

export const startTrialWalk = (rules: WalkRules): TrialWalk => ({
  rules,
  last: null,
  readings: 0,
  steady: emptySpread(),
  maybeDoor: emptySpread(),
  beyond: rules.limits.map(() => 0),
  known: 0,
  day: { sum: 0, ms: 0 },
  night: { sum: 0, ms: 0 },
  cycle: noCycles,
  learning: nothingLearnt,
  door: doorUnknown,
  doors: 0,
  recoveries: [],
  recovery: null,
  longestRecovery: null,
  highestRise: null,
  unplugged: rules.plugs.map(() => []),
})

/** Takes the next believed reading, calibrated, in. Late and repeated ones, and those outside the run, change nothing. */
export function walkTrial(walk: TrialWalk, point: Point): void {
  const { run, plugs, isAir } = walk.rules
  if (!Number.isFinite(point.celsius) || point.at < run.from || point.at >= run.to) return
  if (walk.last !== null && point.at <= walk.last.at) return
  hold(walk, point.at)
  walk.last = point
  walk.readings++
  const p = plugs.findIndex(({ from, to }) => point.at >= from && point.at < to)
  if (p >= 0) keepUnplugged(walk.unplugged[p] ?? [], point)
  if (!counts(walk.rules, point.at)) return
  if (isAir) readCurve(walk, point)
  addValue(isMaybeDoor(walk) ? walk.maybeDoor : walk.steady, point.at, point.celsius, 0)
}

/** The last value holds to the end of the run; a door that is still open counts as what it may be, warm air. */
export function endTrialWalk(walk: TrialWalk): void {
  hold(walk, walk.rules.run.to)
  addSpread(walk.steady, walk.maybeDoor)
  walk.maybeDoor = emptySpread()
  walk.last = null
}

/** The middle of the recoveries of its doors, ms; null where none came back. */
export const usualRecovery = ({ recovery, recoveries }: TrialWalk): number | null =>
  recovery?.middle ?? (recoveries.length === 0 ? null : usualOf(recoveries, () => 0).middle)

export function meanOf({ sum, ms }: { readonly sum: number; readonly ms: number }): number | null {
  return ms > 0 ? sum / ms : null
}

const counts = ({ skips }: WalkRules, at: Instant): boolean =>
  !skips.some(({ from, to }) => at >= from && at < to)

const isMaybeDoor = ({ door }: TrialWalk): boolean => door.phase.name !== 'quiet'

/** Lets the last value hold until `until`. */
function hold(walk: TrialWalk, until: Instant): void {
  const { last, rules } = walk
  if (last === null || !counts(rules, last.at)) return
  const skip = rules.skips.find(({ from }) => from > last.at)
  const ms = Math.min(until, last.at + rules.holds, skip?.from ?? Infinity) - last.at
  if (!(ms > 0)) return
  const { celsius } = last
  addValue(isMaybeDoor(walk) ? walk.maybeDoor : walk.steady, last.at, celsius, ms)
  walk.known += ms
  rules.limits.forEach((limit, i) => {
    if (isBeyond(limit, celsius)) walk.beyond[i] = (walk.beyond[i] ?? 0) + ms
  })
  const isNight = rules.nights.some(({ from, to }) => last.at >= from && last.at < to)
  const part = isNight ? walk.night : walk.day
  part.sum += celsius * ms
  part.ms += ms
}

/** Whether a value is past the limit. */
export function isBeyond({ limit, value, inclusive }: HoldLimit, celsius: number): boolean {
  switch (limit) {
    case 'lowCritical':
    case 'low':
      return inclusive ? celsius <= value : celsius < value
    case 'high':
    case 'highCritical':
      return inclusive ? celsius >= value : celsius > value
    default:
      return limit satisfies never
  }
}

function readCurve(walk: TrialWalk, point: Point): void {
  const [cycle, ended] = stepCycle(walk.cycle, point)
  walk.cycle = cycle
  const [door, seen] = stepDoor(walk.door, point, { usual: walk.learning.usual, noise: cycle.noise })
  walk.door = door
  if (ended !== null) walk.learning = learnCycle(walk.learning, ended)
  if (seen !== null) noteDoor(walk, seen)
  if (isMaybeDoor(walk) || walk.maybeDoor.min === null) return
  if (seen === null || seen.recovery === null) addSpread(walk.steady, walk.maybeDoor)
  walk.maybeDoor = emptySpread()
}

function noteDoor(walk: TrialWalk, { rise, recovery }: DoorSeen): void {
  if (recovery === null) return
  walk.doors++
  walk.highestRise = Math.max(walk.highestRise ?? 0, rise)
  walk.longestRecovery = Math.max(walk.longestRecovery ?? 0, recovery)
  if (walk.recovery !== null)
    walk.recovery = followUsual(walk.recovery, recovery, 1 / keptRecoveries, () => 1)
  else if (walk.recoveries.length < keptRecoveries) walk.recoveries = [...walk.recoveries, recovery]
  else walk.recovery = usualOf(walk.recoveries, () => 1)
}

function keepUnplugged(kept: Point[], point: Point): void {
  const before = kept.at(-1)
  if (kept.length >= mostUnplugged || (before !== undefined && point.at - before.at < unpluggedEvery)) return
  kept.push(point)
}
