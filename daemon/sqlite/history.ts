import type { Point } from '../ports/zones.ts'
import type { Blocks } from './blocks.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourOf, lookBackHours, startOf } from './hour.ts'
import { cutRows, joinRows, lastGood, mergeRows, noRows, type Rows } from './rows.ts'
import { lastGoodOf, newTo } from './thinned-hour.ts'

export type History = ReturnType<typeof historyOf>

/** Folded and waiting readings seen as one: ascending, each instant once, the first stored wins. Thinned ones are gone. */
export function historyOf(blocks: Blocks, hot: HotReadings) {
  /** From `from` (included) to `to` (left out). */
  function rows(id: number, from: number, to: number): Rows {
    if (from >= to) return noRows
    const [firstHour, lastHour] = [hourOf(from), hourOf(to - 1)]
    const byHour = new Map(blocks.between(id, firstHour, lastHour).map((block) => [block.hour, block.rows]))
    for (const hour of hot.hours(id, firstHour, lastHour))
      byHour.set(hour, merged(id, hour, byHour.get(hour)))
    const hours = [...byHour.keys()].sort((a, b) => a - b)
    return joinRows(hours.map((hour) => cutRows(byHour.get(hour) ?? noRows, from, to)))
  }

  function merged(id: number, hour: number, stored: Rows | undefined): Rows {
    const waiting = hot.hour(id, hour) ?? noRows
    if (stored) return mergeRows(stored, waiting)
    const thinned = blocks.thinned(id, hour)
    return thinned ? newTo(thinned, waiting) : waiting
  }

  /** The last good reading of a thinned hour, where it is before `at`. */
  function thinnedBefore(id: number, at: number): Point | null {
    const thinned = blocks.thinned(id, hourOf(at))
    const last = thinned ? lastGoodOf(thinned) : null
    return last && last[0] < at ? last : null
  }

  return {
    rows,

    /** The last good reading before `at`, at most a day before the hour of `at`. */
    lastGoodBefore(id: number, at: number): Point | null {
      const hour = hourOf(at)
      const inHour = laterOf(lastGood(rows(id, startOf(hour), at)), thinnedBefore(id, at))
      if (inHour) return inHour
      let newest = blocks.lastGoodBefore(id, hour)
      for (const waiting of hot.hours(id, hour - lookBackHours, hour - 1).reverse()) {
        const found = lastGood(rows(id, startOf(waiting), startOf(waiting + 1)))
        if (found && (!newest || found[0] > newest[0])) newest = found
        if (found) break
      }
      return newest
    },

    /** Instants of the first and last reading. */
    span(id: number): { first: number; last: number } | null {
      const hours = hot.hours(id, -Infinity, Infinity)
      const oldest = hot.hour(id, hours[0] ?? -1)
      const newest = hot.hour(id, hours.at(-1) ?? -1)
      const first = Math.min(blocks.first(id) ?? Infinity, oldest?.at[0] ?? Infinity)
      const last = Math.max(blocks.last(id) ?? -Infinity, newest?.at[newest.length - 1] ?? -Infinity)
      return first === Infinity ? null : { first, last }
    },
  }
}

const laterOf = (a: Point | null, b: Point | null): Point | null =>
  a && b ? (a[0] >= b[0] ? a : b) : (a ?? b)
