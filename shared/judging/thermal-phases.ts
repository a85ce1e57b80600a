import type { Limit } from '../../schemas/band.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Cycle, Leg } from '../thermal/cycle.ts'
import { coldEnd, driftVerdict, phaseMultiple, phaseVerdict, warmEnd } from '../thermal/cycle-verdict.ts'
import { doorNow, type DoorState } from '../thermal/door.ts'
import type { Point } from '../thermal/lag.ts'
import { type CycleBaseline, type LongestPhases, usualCold } from '../thermal/usual-cycle.ts'
import { sayCondition, type ConditionStep } from './thermal-conditions.ts'
import type { ThermalWatch } from './thermal-state.ts'
import type { Surroundings } from './thermal-surroundings.ts'

/** Asked once the cycle is learnt: before, nobody knows what jumps here. A contact that says "shut" is the better witness. */
export function sayDoor(
  step: ConditionStep,
  door: DoorState,
  at: Instant,
  { isShut }: Surroundings,
): ConditionStep {
  if (door.phase.name === 'quiet' && step[0].doorAjar === undefined) return step
  const isAjar = doorNow(door, at).name === 'ajar'
  return sayCondition(step, 'doorAjar', isAjar && !isShut(), at)
}

/** A room not warmer than the air by more than this, K, may cool it without any compressor: both probes are ±0.5 K. */
export const warmerRoom = 1

export interface Phases {
  readonly usual: CycleBaseline
  readonly longest: LongestPhases
  readonly leg: Leg
  readonly ended: Cycle | null
  readonly door: DoorState
  readonly point: Point
}

/**
 * Whether it cools at all, and whether it stops. What was raised stands until the air is back where a fridge that is
 * well has it, or it runs and rests at its usual pace again: a turn alone may be the room's.
 */
export function sayPhases(
  step: ConditionStep,
  { usual, longest, leg, ended, door, point }: Phases,
  around: Surroundings,
): ConditionStep {
  const verdict = phaseVerdict(usual, leg, longest)
  const runs = ended !== null && isRun(ended, usual)
  const { at, celsius } = point
  let next = step
  if (verdict === 'notCooling') {
    // The air that a door let in is the door's until it should be back.
    const isDoors = door.phase.name !== 'quiet' && doorNow(door, at).name !== 'ajar'
    const isSo = isDoors || step[0].doorAjar?.name === 'out' ? null : !around.plan().isWarmingUp
    next = sayCondition(next, 'notCooling', isSo, at)
  } else if (step[0].notCooling !== undefined) {
    const isTold = step[0].notCooling.name !== 'delaying'
    const isBack = runs || (leg.direction === 'falling' && (!isTold || celsius <= warmEnd(usual)))
    next = sayCondition(next, 'notCooling', isBack ? false : null, at)
  }
  const isNearing = nears(usual, longest, leg, around.limits[0] ?? null)
  if (verdict === 'alwaysCooling' || isNearing) {
    const room = around.room()
    const isRooms = room !== null && room <= leg.extreme + warmerRoom
    const isPlanned = !isNearing && around.plan().isCoolingDown
    next = sayCondition(next, 'alwaysCooling', !isRooms && !isPlanned, at)
  } else if (step[0].alwaysCooling !== undefined) {
    const isBack = runs || (leg.direction === 'rising' && celsius >= coldEnd(usual))
    next = sayCondition(next, 'alwaysCooling', isBack ? false : null, at)
  }
  return next
}

/** Whether this was the compressor's run and rest, rather than the room's day. */
export const isRun = (cycle: Cycle, usual: CycleBaseline): boolean =>
  cycle.period <= phaseMultiple * usual.period.middle

/** At the pace of its fall it will be there within this: the verdict's twice the usual run would come too late. */
const nearing: Millis = minutes(30)

/** Whether the air has fallen past where it always turned, for longer than it does, and nears its critical limit. */
function nears(usual: CycleBaseline, longest: LongestPhases, leg: Leg, limit: Limit | null): boolean {
  if (leg.direction !== 'falling' || limit === null || leg.extreme >= coldEnd(usual)) return false
  const lasted = leg.extremeAt - leg.since
  if (lasted <= Math.max(usualCold(usual), longest.cold)) return false
  // The mean pace is steeper than the last of what levels off: early, not late.
  const pace = (leg.from - leg.extreme) / lasted
  return leg.extreme - limit.value <= pace * nearing
}

export function isDrifting(
  { learning }: NonNullable<ThermalWatch['cycle']>,
  at: Instant,
  { limits, plan }: Surroundings,
): boolean {
  const verdict = driftVerdict(learning, { at, ...driftLimits(limits) })
  if (verdict === null) return false
  const { isCoolingDown, isWarmingUp } = plan()
  return !isCoolingDown && !isWarmingUp
}

/** The limits that a drift goes to: those met first. */
export const driftLimits = (limits: readonly (Limit | null)[]) => ({
  low: (limits[1] ?? limits[0])?.value ?? null,
  high: (limits[2] ?? limits[3])?.value ?? null,
})
