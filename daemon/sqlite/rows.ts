import type { Point } from '../ports/zones.ts'
import { instant } from '../../schemas/amounts.ts'

/** Readings of one series as columns, ascending and unique in `at`; only the first `length` entries count. */
export interface Rows {
  readonly length: number
  readonly at: Float64Array
  readonly value: Float64Array
  /** Code of the quality, 0 is good. */
  readonly quality: Uint8Array
}

export const good = 0

export const noRows: Rows = makeRows(0)

/** Room for `length` rows. */
export function makeRows(length: number): {
  length: number
  at: Float64Array
  value: Float64Array
  quality: Uint8Array
} {
  return {
    length,
    at: new Float64Array(length),
    value: new Float64Array(length),
    quality: new Uint8Array(length),
  }
}

/** The rows whose instants are none of those. */
export function rowsBut(rows: Rows, isOne: (at: number) => boolean): Rows {
  const kept = makeRows(rows.length)
  let n = 0
  for (let i = 0; i < rows.length; i++) {
    const at = rows.at[i] as number
    if (isOne(at)) continue
    kept.at[n] = at
    kept.value[n] = rows.value[i] as number
    kept.quality[n] = rows.quality[i] as number
    n++
  }
  kept.length = n
  return kept
}

/** Index of the first row that is not before `at`; `length` when all are. */
export function indexFrom(rows: Rows, at: number): number {
  let low = 0
  let high = rows.length
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((rows.at[middle] as number) < at) low = middle + 1
    else high = middle
  }
  return low
}

/** The rows from `from` (included) to `to` (left out); a view, not a copy. */
export function cutRows(rows: Rows, from: number, to: number): Rows {
  const start = indexFrom(rows, from)
  const end = Math.max(start, indexFrom(rows, to))
  return {
    length: end - start,
    at: rows.at.subarray(start, end),
    value: rows.value.subarray(start, end),
    quality: rows.quality.subarray(start, end),
  }
}

/** Both together; at equal instants the row of `stored` stays and the repeat is dropped. */
export function mergeRows(stored: Rows, later: Rows): Rows {
  if (later.length === 0) return stored
  const merged = makeRows(stored.length + later.length)
  let i = 0
  let j = 0
  let n = 0
  while (i < stored.length || j < later.length) {
    const a = i < stored.length ? (stored.at[i] as number) : Infinity
    const b = j < later.length ? (later.at[j] as number) : Infinity
    if (a <= b) copyRow(stored, i++, merged, n++)
    else copyRow(later, j++, merged, n++)
    if (a === b) j++
  }
  merged.length = n
  return merged
}

/** Several runs, each wholly before the next, end to end. */
export function joinRows(parts: readonly Rows[]): Rows {
  if (parts.length === 1) return parts[0] as Rows
  const joined = makeRows(parts.reduce((sum, part) => sum + part.length, 0))
  let n = 0
  for (const part of parts) {
    joined.at.set(part.at.subarray(0, part.length), n)
    joined.value.set(part.value.subarray(0, part.length), n)
    joined.quality.set(part.quality.subarray(0, part.length), n)
    n += part.length
  }
  return joined
}

export function countGood(rows: Rows): number {
  let count = 0
  for (let i = 0; i < rows.length; i++) if (rows.quality[i] === good) count++
  return count
}

export function goodPoints(rows: Rows): Point[] {
  const points: Point[] = []
  for (let i = 0; i < rows.length; i++)
    if (rows.quality[i] === good) points.push([instant(rows.at[i] as number), rows.value[i] as number])
  return points
}

export function lastGood(rows: Rows): Point | null {
  for (let i = rows.length - 1; i >= 0; i--)
    if (rows.quality[i] === good) return [instant(rows.at[i] as number), rows.value[i] as number]
  return null
}

function copyRow(source: Rows, i: number, target: Rows, n: number): void {
  target.at[n] = source.at[i] as number
  target.value[n] = source.value[i] as number
  target.quality[n] = source.quality[i] as number
}
