import type { Point } from '../ports/zones.ts'
import { instant } from '../../schemas/amounts.ts'
import { good, type Rows, rowsBut } from './rows.ts'

/** What is left of an hour whose single readings were taken out. */
export interface ThinnedHour {
  readonly readings: number
  readonly good: number
  readonly first: number
  readonly last: number
  /** Of the good readings; null where there was none. */
  readonly goodFirst: number | null
  readonly goodLast: number | null
  readonly lastValue: number | null
  readonly min: number | null
  readonly max: number | null
  readonly sum: number
}

/**
 * Where a thinned hour stands: half-way between its first and its last good reading. A stretch that holds all of them
 * holds this instant, and one that holds none of them does not; where an end cuts the hour between them, the hour
 * belongs to one of the two stretches, never to both.
 */
export const middleOf = (first: number, last: number): number => Math.floor((first + last) / 2)

/** Late readings that the hour does not hold yet. Of the single ones only the instants at its ends are still known. */
export function newTo(hour: ThinnedHour, late: Rows): Rows {
  const known = [hour.first, hour.last, hour.goodFirst, hour.goodLast]
  return rowsBut(late, (at) => known.includes(at))
}

/** The hour with readings that are new to it counted in. */
export function withLate(hour: ThinnedHour, fresh: Rows): ThinnedHour {
  let { readings, good: count, first, last, goodFirst, goodLast, lastValue, min, max, sum } = hour
  for (let i = 0; i < fresh.length; i++) {
    const at = fresh.at[i] as number
    const value = fresh.value[i] as number
    readings++
    first = Math.min(first, at)
    last = Math.max(last, at)
    if (fresh.quality[i] !== good) continue
    count++
    sum += value
    min = Math.min(min ?? value, value)
    max = Math.max(max ?? value, value)
    goodFirst = Math.min(goodFirst ?? at, at)
    if (goodLast !== null && goodLast > at) continue
    goodLast = at
    lastValue = value
  }
  return { readings, good: count, first, last, goodFirst, goodLast, lastValue, min, max, sum }
}

export function lastGoodOf({ goodLast, lastValue }: ThinnedHour): Point | null {
  return goodLast === null || lastValue === null ? null : [instant(goodLast), lastValue]
}
