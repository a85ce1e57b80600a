import type { Instant } from '../../schemas/units.ts'
import type { CycleState } from '../thermal/cycle.ts'
import type { DoorState } from '../thermal/door.ts'
import type { CycleLearning } from '../thermal/usual-cycle.ts'
import { type Move, moveLimit } from './move-limit.ts'
import type { ConditionName, Conditions, LimitAhead, ThermalWatch } from './thermal-state.ts'

/** The clock was set: what a curve remembers keeps its age (N3). */
export function moveThermal(thermal: ThermalWatch, move: Move): ThermalWatch {
  const { cycle, door, contact, opened, early } = thermal
  return {
    cycle: cycle && {
      state: moveCycle(cycle.state, move),
      learning: moveLearning(cycle.learning, move),
      driftAt: move(cycle.driftAt),
    },
    door: door && moveDoor(door, move),
    contact: contact && { ...contact, at: move(contact.at), since: move(contact.since) },
    opened: opened && { from: move(opened.from), to: move(opened.to) },
    early: early && {
      ...early,
      state: {
        lag: moved(early.state.lag, move),
        recent: early.state.recent.map(([at, celsius]) => [move(at), celsius] as const),
      },
      ahead: early.ahead && moveAhead(early.ahead, move),
    },
    conditions: moveConditions(thermal.conditions, move),
  }
}

function moveCycle(state: CycleState, move: Move): CycleState {
  const { waiting, accepted, smooth, leg, crest, trough } = state
  return {
    ...state,
    waiting: waiting && moved(waiting, move),
    accepted: accepted && moved(accepted, move),
    smooth: smooth && moved(smooth, move),
    leg: leg && {
      ...leg,
      since: move(leg.since),
      extremeAt: move(leg.extremeAt),
      lowAt: move(leg.lowAt),
    },
    crest: crest && moved(crest, move),
    trough: trough && moved(trough, move),
  }
}

const moveLearning = (learning: CycleLearning, move: Move): CycleLearning => ({
  ...learning,
  at: move(learning.at),
  first: learning.first.map((cycle) => ({ ...cycle, from: move(cycle.from), to: move(cycle.to) })),
  past: learning.past.map((half) => moved(half, move)),
  running: learning.running && moved(learning.running, move),
})

function moveDoor(door: DoorState, move: Move): DoorState {
  const { last, level, phase } = door
  const common = { ...door, last: last && moved(last, move), level: level && moved(level, move) }
  switch (phase.name) {
    case 'quiet':
      return common
    case 'jumped':
      return { ...common, phase: { ...phase, from: move(phase.from), peak: moved(phase.peak, move) } }
    case 'raised':
      return {
        ...common,
        phase: {
          ...phase,
          from: move(phase.from),
          peak: moved(phase.peak, move),
          fell: phase.fell && move(phase.fell),
        },
      }
    default:
      return phase satisfies never
  }
}

const moveAhead = (ahead: LimitAhead, move: Move): LimitAhead => ({
  ...ahead,
  soonest: move(ahead.soonest),
  likely: move(ahead.likely),
  latest: ahead.latest && move(ahead.latest),
})

const moveConditions = (conditions: Conditions, move: Move): Conditions =>
  Object.fromEntries(
    (Object.entries(conditions) as [ConditionName, NonNullable<Conditions[ConditionName]>][]).map(
      ([name, state]) => [name, moveLimit(state, move)],
    ),
  )

const moved = <T extends { readonly at: Instant }>(one: T, move: Move): T => ({ ...one, at: move(one.at) })
