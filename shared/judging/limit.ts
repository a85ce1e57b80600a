import type { Limit } from '../../schemas/band.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/**
 * A limit as it judges one sensor. Between the limit and its guarded value (L9) the truth may be past it: that is out
 * too, with delays of its own. `expanded` is how far the sensor may be off, ± (k = 2).
 */
export interface JudgedLimit extends Limit {
  readonly guard?: {
    readonly value: number
    readonly expanded: number
    readonly for: Millis
    readonly clearFor: Millis
  }
}

/**
 * One limit's memory. `counted` is the time already spent out, in ms, for a cumulative limit (0 for a continuous one).
 * `since` of a delaying limit is when its delay began to run; of an out or clearing one it is when it was raised.
 */
export type LimitState =
  | { readonly name: 'inside'; readonly counted: number }
  | {
      readonly name: 'delaying'
      readonly since: Instant
      readonly counted: number
      readonly value: number
    }
  | { readonly name: 'out'; readonly since: Instant; readonly value: number }
  | { readonly name: 'clearing'; readonly since: Instant; readonly back: Instant; readonly value: number }

export type LimitEvent =
  | { readonly kind: 'reading'; readonly at: Instant; readonly value: number }
  /** Time has come this far without a newer reading; the last value holds (L2). */
  | { readonly kind: 'timePassed'; readonly at: Instant }
  /** The value can no longer be held: the sensor is stale since `at` (L4). */
  | { readonly kind: 'fellSilent'; readonly at: Instant }

export interface LimitTransition {
  readonly event: 'raised' | 'returned'
  readonly at: Instant
  readonly value: number
  /** Only the sensor's uncertainty raised it: the value is short of the limit itself (L9). */
  readonly isDoubt?: true
}

export type LimitStep = readonly [state: LimitState, transitions: readonly LimitTransition[]]

export const startInside: LimitState = { name: 'inside', counted: 0 }

/** Whether the condition stands: raised and not yet returned. */
export const isRaised = (state: LimitState): boolean => state.name === 'out' || state.name === 'clearing'

/**
 * Moves one limit by one event. Times may not go back. At equal instants the reading is applied before the timer (L2);
 * the on-delay restarts only when the value has come back through the deadband (L3); silence never clears (L4).
 * A cumulative limit adds up time out and, once raised, does not return by itself.
 */
export function stepLimit(state: LimitState, limit: Limit, event: LimitEvent): LimitStep {
  if (state.name === 'inside' && (event.kind !== 'reading' || !isOut(limit, event.value)))
    return [state, none]

  switch (event.kind) {
    case 'reading': {
      const [before, early] = letTimePass(state, limit, event.at, false)
      const [after, mid] = applyValue(before, limit, event.at, event.value)
      const [end, late] = letTimePass(after, limit, event.at, true)
      return [end, join(early, mid, late)]
    }
    case 'timePassed':
      return letTimePass(state, limit, event.at, true)
    case 'fellSilent': {
      const [before, early] = letTimePass(state, limit, event.at, true)
      if (before.name === 'delaying') return raise(before.value, event.at, early)
      if (before.name === 'clearing')
        return [{ name: 'out', since: before.since, value: before.value }, early]
      return [before, early]
    }
    default:
      return event satisfies never
  }
}

/** The instant at which this limit changes by itself if its value keeps still; null when it does not. */
export function dueAt(state: LimitState, limit: Limit): Instant | null {
  if (state.name === 'clearing') return (state.back + limit.clearFor) as Instant
  if (state.name !== 'delaying') return null
  return (state.since + Math.max(0, limit.for - state.counted)) as Instant
}

/** Whether `value` is beyond the limit. */
export const isOut = (limit: Limit, value: number): boolean => exceeds(limit, value, 0)

const none: readonly LimitTransition[] = []

function applyValue(state: LimitState, limit: Limit, at: Instant, value: number): LimitStep {
  const out = isOut(limit, value)
  const back = !exceeds(limit, value, limit.deadband)
  switch (state.name) {
    case 'inside':
      return out ? [{ name: 'delaying', since: at, counted: state.counted, value }, none] : [state, none]
    case 'delaying':
      if (!back) return [{ ...state, value }, none]
      return [
        { name: 'inside', counted: limit.counting === 'cumulative' ? state.counted + (at - state.since) : 0 },
        none,
      ]
    case 'out':
      if (!back || limit.counting === 'cumulative') return [{ ...state, value }, none]
      return [{ name: 'clearing', since: state.since, back: at, value }, none]
    case 'clearing':
      return back ? [{ ...state, value }, none] : [{ name: 'out', since: state.since, value }, none]
    default:
      return state satisfies never
  }
}

function letTimePass(state: LimitState, limit: Limit, at: Instant, inclusive: boolean): LimitStep {
  const due = dueAt(state, limit)
  if (due === null || due > at || (due === at && !inclusive)) return [state, none]
  if (state.name === 'delaying') return raise(state.value, due, none)
  if (state.name !== 'clearing') return [state, none]
  return [startInside, [{ event: 'returned', at: due, value: state.value }]]
}

function raise(value: number, at: Instant, earlier: readonly LimitTransition[]): LimitStep {
  return [{ name: 'out', since: at, value }, [...earlier, { event: 'raised', at, value }]]
}

/** Whether `value` is beyond the limit moved inwards by `margin`. */
function exceeds({ compare, value: edge }: Limit, value: number, margin: number): boolean {
  switch (compare) {
    case 'below':
      return value < edge + margin
    case 'atOrBelow':
      return value <= edge + margin
    case 'above':
      return value > edge - margin
    case 'atOrAbove':
      return value >= edge - margin
    default:
      return compare satisfies never
  }
}

function join(...parts: readonly (readonly LimitTransition[])[]): readonly LimitTransition[] {
  const filled = parts.filter((part) => part.length > 0)
  return filled.length === 0 ? none : filled.length === 1 ? (filled[0] ?? none) : filled.flat()
}
