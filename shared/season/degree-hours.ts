import type { Millis } from '../../schemas/units.ts'

/** One edge: warmer than it is `above`, colder `below`. The value itself is already beyond where `inclusive` (L1). */
export interface Edge {
  readonly side: 'above' | 'below'
  readonly value: number
  readonly inclusive: boolean
}

/** How long and how far beyond an edge: ms, and ∫|T − edge| dt in K·h. */
export interface Beyond {
  readonly time: number
  readonly degreeHours: number
}

export const noneBeyond: Beyond = { time: 0, degreeHours: 0 }

export const mergeBeyond = (one: Beyond, other: Beyond): Beyond => ({
  time: one.time + other.time,
  degreeHours: one.degreeHours + other.degreeHours,
})

/** Of a value that held for `ms`. */
export function heldBeyond(edge: Edge, value: number, ms: number): Beyond {
  const far = beyondBy(edge, value)
  const isOut = far > 0 || (far === 0 && edge.inclusive)
  return isOut && ms > 0 ? { time: ms, degreeHours: (far * ms) / msPerHour } : noneBeyond
}

/** Of a straight line from one value to another in `ms`: a trapezoid where both ends are beyond, a triangle where one is. */
export function lineBeyond(edge: Edge, from: number, to: number, ms: number): Beyond {
  if (from === to) return heldBeyond(edge, from, ms)
  const [a, b] = [beyondBy(edge, from), beyondBy(edge, to)]
  const [most, least] = [Math.max(a, b), Math.min(a, b)]
  if (most <= 0) return noneBeyond
  const time = least >= 0 ? ms : (ms * most) / (most - least)
  const mean = least >= 0 ? (a + b) / 2 : most / 2
  return { time, degreeHours: (mean * time) / msPerHour }
}

/** `between`: the value changes on a straight line from reading to reading, or each holds until the next. */
export type Between = 'line' | 'held'

export interface BeyondCurve extends Beyond {
  /** Time between readings that lie too far apart to say what was between them. Neither beyond nor within the edge. */
  readonly unknown: number
  readonly last: readonly [at: number, value: number] | null
}

export const noCurve: BeyondCurve = { ...noneBeyond, unknown: 0, last: null }

/**
 * Counts one more reading of a curve in, in constant memory; readings ascend. Where the one before is more than `longestGap`
 * ago, a straight line between them would be invented: the whole gap is unknown. A held value holds for
 * `longestGap` (L2); the rest of the gap is unknown.
 */
export function addToCurve(
  curve: BeyondCurve,
  edge: Edge,
  between: Between,
  longestGap: Millis,
  [at, value]: readonly [at: number, value: number],
): BeyondCurve {
  const { last } = curve
  if (!Number.isFinite(value)) throw new RangeError(`not a value: ${value}`)
  if (last === null) return { ...curve, last: [at, value] }
  const gap = at - last[0]
  if (gap < 0) throw new RangeError('readings of a curve must ascend')
  const known = gap <= longestGap ? gap : between === 'held' ? longestGap : 0
  const part = between === 'held' ? heldBeyond(edge, last[1], known) : lineBeyond(edge, last[1], value, known)
  return { ...mergeBeyond(curve, part), unknown: curve.unknown + gap - known, last: [at, value] }
}

const msPerHour = 3_600_000
const beyondBy = ({ side, value }: Edge, at: number): number => (side === 'above' ? at - value : value - at)
