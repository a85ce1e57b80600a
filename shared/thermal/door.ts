import type { Instant, Millis } from '../../schemas/units.ts'
import { hours, millis, minutes } from '../../schemas/amounts.ts'
import { longestGap } from './cycle.ts'
import { startLag, stepLag, type LagState, type Point } from './lag.ts'
import { followUsual, usualOf, type Usual } from './running-median.ts'
import { usualPace, type CycleBaseline } from './usual-cycle.ts'

/** A door that was opened, or an airing, as the air shows it. */
export interface DoorSeen {
  /** The last reading before the air jumped: it was opened after this. */
  readonly from: Instant
  /** The first reading at which the air fell again: it was closed before this. So it stood open `to` − `from` at most. */
  readonly to: Instant
  /** From the level before to the highest reading, K; the true peak may lie between two readings. */
  readonly rise: number
  /** From the highest reading until the air was nearly back; null where it did not come back. */
  readonly recovery: Millis | null
}

type Phase =
  | { readonly name: 'quiet' }
  /** One reading jumped; the next one tells a door from a glitch. */
  | { readonly name: 'jumped'; readonly from: Instant; readonly level: number; readonly peak: Point }
  | {
      readonly name: 'raised'
      readonly from: Instant
      readonly level: number
      readonly peak: Point
      /** When the air was first seen to fall; null while it rises or stays. */
      readonly fell: Instant | null
    }

/** What is remembered of one fridge's door. Plain data, bounded. */
export interface DoorState {
  readonly last: Point | null
  /** Follows the air slowly: the level that a jump is measured from. */
  readonly level: LagState | null
  readonly phase: Phase
  /** Recoveries in ms until there are enough of them, then what is usual. */
  readonly recoveries: readonly number[]
  readonly recovery: Usual | null
}

export const doorUnknown: DoorState = {
  last: null,
  level: null,
  phase: { name: 'quiet' },
  recoveries: [],
  recovery: null,
}

/** What is known of the fridge whose door it is. */
export interface DoorContext {
  readonly usual: CycleBaseline | null
  /** Standard deviation of one reading, K, as the cycle's state has it. */
  readonly noise: number
}

/** The smallest jump called a door, K. Derived: a door open for 10 s changes a third of the air, some 3 K in a kitchen. */
export const smallestJump = 1
/** Two readings differ by √2 of the noise of one, so this is 5.7 deviations: by chance less than once a year. */
const jumpOverNoise = 8
/** A jump is this many times steeper than the usual warming. Derived: warm-up after the compressor stops is nearly straight. */
const jumpOverPace = 2
/** Until it is learnt, K/ms: 2 K in the 20 min of the shortest cycles of domestic fridges (value from memory). */
const paceAtFirst = 2 / minutes(20)
/** Memory of the level before the jump, and of the air let in: short against a cycle, long against a door. A design choice. */
const levelMemory: Millis = minutes(5)
/**
 * Air that a door let in fades over some minutes; a glitch is gone at the next reading. So half of what would be left
 * by then must be there.
 */
const stillThere = (passed: number): number => Math.exp(-passed / levelMemory) / 2
/** A fall from the peak by this share of the rise shows that the door is closed. Above the noise of what counts as a jump. */
const fallen = 0.15
/** Back means within this share of the rise: 1/e, one time constant of the recovery. */
const nearlyBack = Math.exp(-1)
/** Openings before their recovery is called usual. */
const enoughRecoveries = 5
/** A recovery counts an eighth: what is usual follows about eight airings, some weeks. A design choice. */
const recoveryShare = 1 / 8
/** Half a minute at least: no recovery is timed better than its readings. */
const leastRecoverySpread = minutes(0.5)
/** Until it is learnt: as long as tending may last (A3). */
export const recoveryAtFirst: Millis = minutes(30)
/** Not shorter, for two readings of a slow sensor lie in it, and not longer, for then the air is a danger of its own. */
const [shortestDue, longestDue] = [minutes(10), minutes(60)]
const dueMultiple = 3
/** What has not come back by then is no door: the fridge stands at a new level, which others judge. */
const givenUpAfter: Millis = hours(6)

/**
 * Moves by one reading of the air; with it the opening that this reading ends, else null. An opening is a rise faster
 * than the learnt cycle's, still there one reading later. Late and repeated readings change nothing.
 */
export function stepDoor(
  state: DoorState,
  point: Point,
  context: DoorContext,
): readonly [DoorState, DoorSeen | null] {
  const { last, level } = state
  if (!Number.isFinite(point.celsius) || (last !== null && point.at <= last.at)) return [state, null]
  if (last === null || level === null || point.at - last.at > longestGap) return [quiet(state, point), null]
  const { phase } = state
  switch (phase.name) {
    case 'quiet': {
      const before = Math.min(level.celsius, last.celsius)
      const rise = point.celsius - before
      // Nearly every reading of a winter ends here: the cheap question first, and no field copied by name.
      if (rise <= smallestJump || rise <= jumpNeeded(context, point.at - last.at)) {
        const { recoveries, recovery } = state
        return [{ last: point, level: stepLag(level, point, levelMemory), phase, recoveries, recovery }, null]
      }
      return [
        { ...state, last: point, phase: { name: 'jumped', from: last.at, level: before, peak: point } },
        null,
      ]
    }
    case 'jumped': {
      const share = (point.celsius - phase.level) / (phase.peak.celsius - phase.level)
      if (share < stillThere(point.at - last.at)) {
        return [{ ...state, last: point, phase: { name: 'quiet' } }, null]
      }
      return raised({ ...state, last: point }, { ...phase, name: 'raised', fell: null }, point, context)
    }
    case 'raised':
      return raised({ ...state, last: point }, phase, point, context)
    default:
      return phase satisfies never
  }
}

/** The door at an instant, as the air tells: `ajar` when the air should long have come back. */
export type DoorNow =
  | { readonly name: 'quiet' }
  | { readonly name: 'raised'; readonly from: Instant; readonly rise: number }
  | {
      readonly name: 'ajar'
      readonly from: Instant
      readonly rise: number
      readonly lasted: Millis
      readonly due: Millis
    }

/** What the door is thought to be; a single reading that jumped is not yet a door. */
export function doorNow({ phase, recovery }: DoorState, at: Instant): DoorNow {
  if (phase.name !== 'raised') return { name: 'quiet' }
  const rise = phase.peak.celsius - phase.level
  const lasted = millis(Math.max(0, at - phase.from))
  const due = recoveryDue(recovery)
  return lasted > due
    ? { name: 'ajar', from: phase.from, rise, lasted, due }
    : { name: 'raised', from: phase.from, rise }
}

/** Time within which the air should be back after a door. */
function recoveryDue(usual: Usual | null): Millis {
  if (usual === null) return recoveryAtFirst
  const due = dueMultiple * (usual.middle + usual.spread)
  return millis(Math.round(Math.min(longestDue, Math.max(shortestDue, due))))
}

function jumpNeeded({ usual, noise }: DoorContext, passed: number): number {
  const usualRise = (usual === null ? paceAtFirst : usualPace(usual)) * (levelMemory + passed)
  return Math.max(smallestJump, jumpOverNoise * noise, jumpOverPace * usualRise)
}

function raised(
  state: DoorState,
  phase: Phase & { readonly name: 'raised' },
  point: Point,
  { usual }: DoorContext,
): readonly [DoorState, DoorSeen | null] {
  if (point.celsius > phase.peak.celsius) {
    return [{ ...state, phase: { ...phase, peak: point, fell: null } }, null]
  }
  const rise = phase.peak.celsius - phase.level
  const fell = phase.fell ?? (phase.peak.celsius - point.celsius >= fallen * rise ? point.at : null)
  const crest = usual === null ? phase.level : usual.crest.middle
  const seen = { from: phase.from, to: fell ?? point.at, rise }
  if (point.celsius <= Math.max(crest, phase.level + nearlyBack * rise)) {
    const recovery = millis(point.at - phase.peak.at)
    return [learnt(quiet(state, point), recovery), { ...seen, recovery }]
  }
  if (point.at - phase.from > givenUpAfter) return [quiet(state, point), { ...seen, recovery: null }]
  return [{ ...state, phase: { ...phase, fell } }, null]
}

const quiet = (state: DoorState, point: Point): DoorState => ({
  ...state,
  last: point,
  level: startLag(point),
  phase: { name: 'quiet' },
})

function learnt(state: DoorState, recovery: Millis): DoorState {
  const least = (): number => leastRecoverySpread
  if (state.recovery !== null) {
    return { ...state, recovery: followUsual(state.recovery, recovery, recoveryShare, least) }
  }
  const recoveries = [...state.recoveries, recovery]
  return recoveries.length < enoughRecoveries
    ? { ...state, recoveries }
    : { ...state, recoveries: [], recovery: usualOf(recoveries, least) }
}
