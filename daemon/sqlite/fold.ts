import type { Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import type { FoldResult, Snapshot } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import type { Blocks } from './blocks.ts'
import type { HotHour } from './hot-hour.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourOf } from './hour.ts'
import { hourZones, isSamePoint } from './hour-zones.ts'
import { lastGood, mergeRows, noRows, type Rows } from './rows.ts'
import { oweHours } from './owed-hours.ts'
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
  const owe = oweHours(db)
  const { zonesOfHour, refreshLeaning } = hourZones(blocks, series)

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

  const foldSome = db.transaction(
    (due: readonly DueHour[], zonesOf: ZonesOf, snapshot: Snapshot | null): FoldResult => {
      if (snapshot !== null) saveSnapshot(snapshot)
      const folded = due.map(({ id, hour, waiting }) => foldHour(id, hour, waiting, zonesOf))
      owe(due.map(({ id, hour, waiting }) => ({ ...series.get(id), hour, waiting })))
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
