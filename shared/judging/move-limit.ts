import type { Instant } from '../../schemas/units.ts'
import type { LimitState } from './limit.ts'

/** Moves an instant. */
export type Move = (one: Instant) => Instant

/** The clock was set: a limit's memory keeps its age (N3). */
export function moveLimit(limit: LimitState, move: Move): LimitState {
  switch (limit.name) {
    case 'inside':
      return limit
    case 'delaying':
      return {
        ...limit,
        since: move(limit.since),
        ...(limit.past === undefined ? {} : { past: limit.past === null ? null : move(limit.past) }),
      }
    case 'out':
      return { ...limit, since: move(limit.since) }
    case 'clearing':
      return { ...limit, since: move(limit.since), back: move(limit.back) }
    default:
      return limit satisfies never
  }
}
