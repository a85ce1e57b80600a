import { millis } from '../../schemas/amounts.ts'
import type { Limit } from '../../schemas/band.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  dueAt,
  isOut,
  isRaised,
  type JudgedLimit,
  type LimitEvent,
  type LimitState,
  type LimitTransition,
  startInside,
  stepLimit,
} from './limit.ts'

/**
 * A limit's memory where it has a guard (L9): of the guarded value and, in `itself`, of the limit itself, which is judged
 * exactly as without a guard. Absent where it has none, and where both are inside. `doubt`: it alone raised it, the
 * sensor being off by up to this, ±; it returns by the guard's off-delay.
 */
export type JudgedState = LimitState & {
  readonly itself?: LimitState
  readonly doubt?: number
  /** Since when it was past the limit itself, as kept before that had a memory of its own. */
  readonly past?: Instant | null
}

export type JudgedStep = readonly [state: JudgedState, transitions: readonly LimitTransition[]]

/** Moves one limit, with its guard where it has one, by one event. */
export function stepJudged(state: JudgedState, limit: JudgedLimit, event: LimitEvent): JudgedStep {
  if (limit.guard === undefined && state.itself === undefined) return stepLimit(state, limit, event)
  if (state.name === 'inside' && (event.kind !== 'reading' || !isOut(edgeOf(limit), event.value)))
    return [state, none]
  let [both, said] = [bothOf(state, limit), none]
  for (;;) {
    const due = nextDue(both, limit)
    // What is due at this very instant waits for its reading (L2).
    if (due === null || due >= event.at) break
    ;[both, said] = moveBoth(both, said, limit, { kind: 'timePassed', at: due })
  }
  ;[both, said] = moveBoth(both, said, limit, event)
  const after = stateOf(both)
  return [isSame(state, after) ? state : after, said]
}

/** The instant at which this limit, or its guard, changes by itself if its value keeps still; null when it does not. */
export const judgedDueAt = (state: JudgedState, limit: JudgedLimit): Instant | null =>
  limit.guard === undefined && state.itself === undefined
    ? dueAt(state, limit)
    : nextDue(bothOf(state, limit), limit)

/** Whether `value` is beyond the limit or, where it has one, its guarded value. */
export const isOutOrInDoubt = (limit: JudgedLimit, value: number): boolean => isOut(edgeOf(limit), value)

/** Whether the limit itself stands, and not only the doubt. */
export const isPastRaised = (state: JudgedState): boolean => isRaised(state.itself ?? state)

/** The on-delay that runs: of the limit with its guard or, while the doubt stands, of the limit itself; null: none. */
export function delayingOf(state: JudgedState): Extract<LimitState, { name: 'delaying' }> | null {
  if (state.name === 'delaying') return state
  return state.itself?.name === 'delaying' ? state.itself : null
}

/** Whether it may change by itself. */
export const isTimed = (state: JudgedState): boolean =>
  delayingOf(state) !== null || state.name === 'clearing' || state.itself?.name === 'clearing'

/** Whether nothing is near: inside, or a doubt that is clear and only waits to return. */
export const isClear = (state: JudgedState, limit: JudgedLimit | null): boolean =>
  state.name === 'inside' ||
  (limit !== null &&
    isRaised(state) &&
    state.doubt !== undefined &&
    !isPastRaised(state) &&
    !isOutOrInDoubt(limit, state.value))

/** The guarded value and the limit itself, each with its own memory. Whenever `itself` is raised, so is `edge`. */
interface Both {
  readonly edge: LimitState
  readonly itself: LimitState
  readonly doubt: number | null
}

const none: readonly LimitTransition[] = []

const edgeOf = (limit: JudgedLimit): Limit =>
  limit.guard === undefined
    ? limit
    : { ...limit, value: limit.guard.value, for: millis(Math.max(limit.for, limit.guard.for)) }

/**
 * What only the doubt raised returns by the guard's off-delay; what was past the limit itself, or what is in doubt no more
 * because its sensor was checked, returns by the limit's.
 */
function edgeNow(limit: JudgedLimit, doubt: number | null): Limit {
  const edge = edgeOf(limit)
  if (doubt === null || limit.guard === undefined || limit.guard.expanded < doubt) return edge
  return { ...edge, clearFor: millis(Math.max(limit.clearFor, limit.guard.clearFor)) }
}

function nextDue({ edge, itself, doubt }: Both, limit: JudgedLimit): Instant | null {
  const [one, other] = [dueAt(edge, edgeNow(limit, doubt)), dueAt(itself, limit)]
  if (one === null || other === null) return one ?? other
  return one < other ? one : other
}

function moveBoth(
  before: Both,
  said: readonly LimitTransition[],
  limit: JudgedLimit,
  event: LimitEvent,
): [Both, readonly LimitTransition[]] {
  const { doubt } = before
  const [edge, ofEdge] = stepLimit(before.edge, edgeNow(limit, doubt), event)
  const [itself, ofItself] = stepLimit(before.itself, limit, event)
  const rings = ofEdge.find((one) => one.event === 'raised')
  const passes = ofItself.find((one) => one.event === 'raised')
  if (passes !== undefined) {
    const { at, value } = passes
    return [
      { edge: isRaised(edge) ? edge : { name: 'out', since: at, value }, itself, doubt },
      [...said, passes],
    ]
  }
  if (rings !== undefined) {
    const { at, value } = rings
    // In doubt for so long and past the limit now: nobody is rung twice within its short delay.
    if (itself.name === 'delaying')
      return [{ edge, itself: { name: 'out', since: at, value }, doubt }, [...said, rings]]
    return [{ edge, itself, doubt: limit.guard?.expanded ?? null }, [...said, { ...rings, isDoubt: true }]]
  }
  return ofEdge.length > 0
    ? [{ edge, itself, doubt: null }, [...said, ...ofEdge]]
    : [{ edge, itself, doubt }, said]
}

/** What a state says of both; one from before the limit had a guard was about the limit itself. */
function bothOf(state: JudgedState, { guard }: JudgedLimit): Both {
  const { itself: kept, doubt = null, past, ...edge } = state
  if (kept !== undefined) {
    // Without its guard a delay that only the doubt had begun is over.
    return guard === undefined && edge.name === 'delaying'
      ? { edge: kept, itself: kept, doubt }
      : { edge, itself: kept, doubt }
  }
  if (edge.name !== 'delaying' || past === undefined) return { edge, itself: edge, doubt }
  return { edge, itself: past === null ? startInside : { ...edge, since: past }, doubt }
}

function stateOf({ edge, itself, doubt }: Both): JudgedState {
  if (edge.name === 'inside') return edge
  return { ...edge, itself, ...(doubt === null ? {} : { doubt }) }
}

const isSame = (one: JudgedState, other: JudgedState): boolean =>
  JSON.stringify(one) === JSON.stringify(other)
