import type { Database } from 'better-sqlite3'
import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { FoldResult, Snapshot, ZonesOf, ZoneTimes } from '../ports.ts'
import type { Blocks } from './blocks.ts'
import type { HotHour } from './hot-hour.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourOf, startOf } from './hour.ts'
import { goodPoints, lastGood, mergeRows, noRows, type Rows } from './rows.ts'
import type { SeriesRegister } from './series.ts'
import { lastGoodOf, newTo, type ThinnedHour, withLate } from './thinned-hour.ts'

/** Blocks in one transaction: about 50 ms of work and 1 MB of log. */
const blocksPerTransaction = 500

interface Parts {
  readonly series: SeriesRegister
  readonly hot: HotReadings
  readonly blocks: Blocks
  readonly saveSnapshot: (snapshot: Snapshot) => void
}

/**
 * Moves waiting readings of ended hours into blocks. The snapshot goes with the first transaction, so no row that an
 * older snapshot has not seen is ever taken out; a death between two transactions leaves the rest for the next fold.
 */
export function foldHours(db: Database, { series, hot, blocks, saveSnapshot }: Parts) {
  function foldHour(id: number, hour: number, waiting: Rows, zonesOf: ZonesOf): FoldResult {
    const thinned = blocks.thinned(id, hour)
    if (thinned) return foldIntoThinned(id, hour, thinned, waiting, zonesOf)
    const stored = blocks.rows(id, hour)
    const rows = mergeRows(stored ?? noRows, waiting)
    const added = rows.length - (stored?.length ?? 0)
    if (added === 0) return nothing
    blocks.save(id, hour, rows, zonesOfHour(id, hour, rows, zonesOf))
    if (!isSamePoint(lastGood(stored ?? noRows), lastGood(rows))) refreshLeaning(id, hour, zonesOf)
    return { blocks: 1, readings: added, late: stored ? added : 0 }
  }

  function foldIntoThinned(
    id: number,
    hour: number,
    thinned: ThinnedHour,
    waiting: Rows,
    zonesOf: ZonesOf,
  ): FoldResult {
    const fresh = newTo(thinned, waiting)
    if (fresh.length === 0) return nothing
    const figures = withLate(thinned, fresh)
    blocks.saveThinned(id, hour, figures)
    if (!isSamePoint(lastGoodOf(thinned), lastGoodOf(figures))) refreshLeaning(id, hour, zonesOf)
    return { blocks: 1, readings: fresh.length, late: fresh.length }
  }

  function zonesOfHour(id: number, hour: number, rows: Rows, zonesOf: ZonesOf): ZoneTimes {
    const { sensor, quantity } = series.get(id)
    const stretch = { from: instant(startOf(hour)), to: instant(startOf(hour + 1)) }
    return zonesOf(sensor, quantity, stretch, blocks.lastGoodBefore(id, hour), goodPoints(rows))
  }

  /** What was thinned keeps the zones that it was thinned with: they cannot be told from its figures. */
  function refreshLeaning(id: number, hour: number, zonesOf: ZonesOf): void {
    for (const later of blocks.leaningOn(id, hour)) {
      const rows = blocks.rows(id, later)
      if (rows) blocks.saveZones(id, later, zonesOfHour(id, later, rows, zonesOf))
    }
  }

  const foldSome = db.transaction(
    (due: readonly DueHour[], zonesOf: ZonesOf, snapshot: Snapshot | null): FoldResult => {
      if (snapshot !== null) saveSnapshot(snapshot)
      const folded = due.map(({ id, hour, waiting }) => foldHour(id, hour, waiting, zonesOf))
      hot.remove(due.map(({ waiting }) => waiting))
      return folded.reduce(sumOf, nothing)
    },
  )

  return (closedBefore: Instant, zonesOf: ZonesOf, snapshot: Snapshot): FoldResult => {
    const due = hot.before(hourOf(closedBefore)).flatMap(({ id, hour }): DueHour[] => {
      const waiting = hot.hour(id, hour)
      return waiting ? [{ id, hour, waiting }] : []
    })
    let result = nothing
    let start = 0
    do {
      const some = due.slice(start, start + blocksPerTransaction)
      result = sumOf(result, foldSome.immediate(some, zonesOf, start === 0 ? snapshot : null))
      for (const { id, hour } of some) hot.forget(id, hour)
      start += blocksPerTransaction
    } while (start < due.length)
    return result
  }
}

interface DueHour {
  readonly id: number
  readonly hour: number
  readonly waiting: HotHour
}

const nothing: FoldResult = { blocks: 0, readings: 0, late: 0 }

const sumOf = (a: FoldResult, b: FoldResult): FoldResult => ({
  blocks: a.blocks + b.blocks,
  readings: a.readings + b.readings,
  late: a.late + b.late,
})

const isSamePoint = (a: readonly number[] | null, b: readonly number[] | null): boolean =>
  a?.[0] === b?.[0] && a?.[1] === b?.[1]
