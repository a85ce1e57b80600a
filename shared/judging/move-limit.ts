import type { Instant } from '../../schemas/units.ts'
import type { JudgedState } from './guarded-limit.ts'
import type { LimitState } from './limit.ts'

/** Moves an instant. */
export type Move = (one: Instant) => Instant

/** The clock was set: a limit's memory keeps its age (N3). */
export function moveLimit<State extends JudgedState>(state: State, move: Move): State {
  const { itself, past } = state
  return {
    ...state,
    ...moved(state, move),
    ...(itself === undefined ? {} : { itself: moved(itself, move) }),
    ...(past === undefined ? {} : { past: past === null ? null : move(past) }),
  }
}

function moved(limit: LimitState, move: Move): LimitState {
  switch (limit.name) {
    case 'inside':
      return limit
    case 'delaying':
    case 'out':
      return { ...limit, since: move(limit.since) }
    case 'clearing':
      return { ...limit, since: move(limit.since), back: move(limit.back) }
    default:
      return limit satisfies never
  }
}
