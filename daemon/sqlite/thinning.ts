import type { Database } from 'better-sqlite3'
import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { StoreSize, ThinResult } from '../ports/store.ts'
import { type Blocks, fromKey, keyOf } from './blocks.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourOf, lookBackHours, startOf } from './hour.ts'

interface Stored {
  readonly key: number
  readonly bytes: number
  readonly readings: number
}

/**
 * Takes single readings out of the oldest hours that still have them, in one transaction; the figures stay. Hours on
 * which waiting readings may still bear are left for the time after their fold: a repeat could no longer be told from
 * a new reading, and zones could no longer be corrected.
 */
export function thinnerOf(db: Database, hot: HotReadings) {
  const oldest = db.prepare<[number], Stored>(
    `SELECT key, length(data) AS bytes, coalesce((SELECT n FROM block
      WHERE series = key - hour * ${keyOf(0, 1)} AND block.hour = held.hour), 0) AS readings
    FROM (SELECT key, data, key / ${keyOf(0, 1)} AS hour FROM block_data WHERE key < ? ORDER BY key) AS held`,
  )
  const mark = db.prepare<[number, number]>('UPDATE block SET n = -n WHERE series = ? AND hour = ? AND n > 0')
  const remove = db.prepare<[number]>('DELETE FROM block_data WHERE key = ?')

  const imported = db.prepare<[number], number>('SELECT n FROM import_hour WHERE key = ?').pluck()

  const isSettled = (id: number, hour: number): boolean =>
    hot.hours(id, hour - lookBackHours, hour).length === 0

  /** What came with a table must come out again: of an hour that is not one table's alone, every reading is kept. */
  function isMixed({ key, readings }: Stored): boolean {
    const counts = imported.all(key)
    return counts.length > 1 || (counts[0] !== undefined && counts[0] !== readings)
  }

  function due(before: Instant, atMost: number): Stored[] {
    const found: Stored[] = []
    if (atMost < 1) return found
    for (const stored of oldest.iterate(keyOf(0, hourOf(before)))) {
      const { id, hour } = fromKey(stored.key)
      if (!isSettled(id, hour) || isMixed(stored)) continue
      found.push(stored)
      if (found.length >= atMost) break
    }
    return found
  }

  return db.transaction((before: Instant, atMost: number): ThinResult => {
    const found = due(before, atMost)
    for (const { key } of found) {
      const { id, hour } = fromKey(key)
      mark.run(id, hour)
      remove.run(key)
    }
    return {
      hours: found.length,
      readings: found.reduce((sum, { readings }) => sum + readings, 0),
      bytes: found.reduce((sum, { bytes }) => sum + bytes, 0),
    }
  }).immediate
}

/** How much there is. */
export function sizeOf(db: Database, hot: HotReadings, blocks: Blocks) {
  const oldestKept = db.prepare<[], number | null>('SELECT min(key) FROM block_data').pluck()
  const oldestThinned = db
    .prepare<[], number | null>(
      `SELECT min((SELECT min(hour) FROM (SELECT hour, n FROM block WHERE block.series = series.id ORDER BY hour
        LIMIT ${lookedThrough}) WHERE n < 0)) FROM series`,
    )
    .pluck()
  const startOrNull = (hours: readonly number[]): Instant | null =>
    hours.length === 0 ? null : instant(startOf(Math.min(...hours)))

  return (): StoreSize => {
    const pageBytes = Number(db.pragma('page_size', { simple: true }))
    const pages = Number(db.pragma('page_count', { simple: true }))
    const free = Number(db.pragma('freelist_count', { simple: true }))
    const key = oldestKept.get() ?? null
    const waiting = hot.before(Infinity).find(({ id, hour }) => !blocks.thinned(id, hour))
    const thinned = oldestThinned.get() ?? null
    return {
      fileBytes: pages * pageBytes,
      usedBytes: (pages - free) * pageBytes,
      everyReadingFrom: startOrNull([
        ...(key === null ? [] : [fromKey(key).hour]),
        ...(waiting ? [waiting.hour] : []),
      ]),
      hourlyFrom: startOrNull(thinned === null ? [] : [thinned]),
    }
  }
}

/**
 * Hours at the beginning of a series in which a thinned one is looked for. Thinning begins with the oldest, so that
 * only late readings of hours that had none stand before it, and those only until the next thinning.
 */
const lookedThrough = 200
