import { hours, instant } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import { noCycles, stepCycle, type Cycle } from '../thermal/cycle.ts'
import { doorUnknown, stepDoor, type DoorSeen } from '../thermal/door.ts'
import { isSettled, type Point } from '../thermal/lag.ts'
import { learnCycle, noteLongest, nothingLearnt } from '../thermal/usual-cycle.ts'
import { isRaised } from './limit.ts'
import { animalNow, stepAhead } from './thermal-ahead.ts'
import {
  moveCondition,
  namesIn,
  sayCondition,
  withoutCondition,
  type ConditionChange,
  type ConditionStep,
} from './thermal-conditions.ts'
import { isDrifting, isRun, sayDoor, sayPhases } from './thermal-phases.ts'
import { type ConditionName, type ThermalWatch, warnsOf } from './thermal-state.ts'
import type { Surroundings } from './thermal-surroundings.ts'

export interface ThermalStep {
  readonly thermal: ThermalWatch
  readonly changes: readonly ConditionChange[]
  /** The opening that this reading ends. */
  readonly seen: DoorSeen | null
}

/** Drift rests on half days; an hour is often enough. */
const driftEvery: Millis = hours(1)

/** Takes one believed temperature in, newer than the last. Constant time and memory. */
export function stepThermal(before: ThermalWatch, point: Point, around: Surroundings): ThermalStep {
  const { role, limits } = around
  let step: ConditionStep = [before.conditions, none]
  let { cycle, door } = before
  let seen: DoorSeen | null = null
  if (role.isAir) {
    const was = cycle ?? { state: noCycles, learning: nothingLearnt, driftAt: instant(0) }
    const [state, ended] = stepCycle(was.state, point)
    const usual = was.learning.usual
    ;[door, seen] = stepDoor(door ?? doorUnknown, point, { usual, noise: state.noise })
    if (usual !== null) step = sayDoor(step, door, point.at, around)
    if (usual !== null && state.leg !== null)
      step = sayPhases(
        step,
        { usual, longest: was.learning.longest, leg: state.leg, ended, door, point },
        around,
      )
    // A fridge that does not cool, or does not stop, shows the room's day: that is not its usual.
    const isUnwell = isTold(step, 'notCooling') || isTold(step, 'alwaysCooling')
    // What was done to it on purpose says nothing of how long it rests by itself.
    const isOwn = ended !== null && !around.wasPlugOut(ended.from, ended.to)
    const isLearnt = isOwn && (!isUnwell || usual === null || isRun(ended, usual))
    const noted = isOwn && usual !== null ? noteLongest(was.learning, ended) : was.learning
    const learning = isLearnt ? learnCycle(noted, rounded(ended)) : noted
    cycle = { state, learning, driftAt: was.driftAt }
    if (point.at - was.driftAt >= driftEvery) {
      cycle = { state, learning, driftAt: point.at }
      if (usual !== null) step = sayCondition(step, 'drifting', isDrifting(cycle, point.at, around), point.at)
    }
  }
  const { early, says } = stepAhead(before.early, point, role, limits)
  if (says !== null) {
    step = sayCondition(step, 'aheadLow', says.low, point.at)
    step = sayCondition(step, 'aheadHigh', says.high, point.at)
  }
  if (early !== null && role.follows?.by === 'animalLag' && isSettled(early.state.lag)) {
    const event = { kind: 'reading', at: point.at, value: animalNow(early.state) } as const
    step = moveCondition(step, 'animalLow', limits[0] ?? null, event)
    step = moveCondition(step, 'animalHigh', limits[3] ?? null, event)
  }
  step = withoutStale(step, around)
  const opened = seen === null ? before.opened : { from: seen.from, to: seen.to }
  return {
    thermal: { cycle, door, contact: before.contact, opened, early, conditions: step[0] },
    changes: step[1],
    seen,
  }
}

const none: readonly ConditionChange[] = []

function isTold([conditions]: ConditionStep, name: ConditionName): boolean {
  const state = conditions[name]
  return state !== undefined && isRaised(state)
}

/**
 * What warns of a critical limit that stands already, and was not told before it, is forgotten: when the limit has come
 * back, the curve must say it anew. The animal's side is no warning but a limit of its own.
 */
function withoutStale(step: ConditionStep, around: Surroundings): ConditionStep {
  let [conditions, changes] = step
  for (const name of namesIn(conditions)) {
    const side = warnsOf[name]
    if (side === null || name === 'animalLow' || name === 'animalHigh') continue
    if (!around.isCritical(side) || around.isTold(name)) continue
    conditions = withoutCondition(conditions, name)
    changes = changes.filter((change) => change.name !== name)
  }
  return conditions === step[0] ? step : [conditions, changes]
}

/** Digits that no probe has are not kept: a week of them is most of what is kept. */
function rounded(cycle: Cycle): Cycle {
  const { from, to, period } = cycle
  const [duty, crest, trough] = [tidy(cycle.duty), tidy(cycle.crest), tidy(cycle.trough)]
  return { from, to, period, duty, crest, trough, amplitude: tidy(cycle.amplitude), mean: tidy(cycle.mean) }
}

// Adding nothing makes minus nothing plus nothing, which text can keep.
const tidy = (value: number): number => Math.round(value * 1e4) / 1e4 + 0
