import type { Database } from 'better-sqlite3'
import { type ImportId, ImportLine } from '../../schemas/import.ts'
import type { ImportedHour, ImportStore, TakenIn } from '../ports/imports.ts'
import type { ZonesOf } from '../ports/zones.ts'
import { type Blocks, fromKey, keyOf } from './blocks.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourOf } from './hour.ts'
import { hourZones, isSamePoint } from './hour-zones.ts'
import { packTimes, unpackTimes } from './import-times.ts'
import { indexFrom, lastGood, makeRows, mergeRows, noRows, type Rows, rowsBut } from './rows.ts'
import type { SeriesRegister } from './series.ts'
import { storageError, tried } from './storage-error.ts'

interface Parts {
  readonly series: SeriesRegister
  readonly hot: HotReadings
  readonly blocks: Blocks
}

/**
 * Readings from tables. They go straight into the blocks of their hours: the append table is what judging goes on from
 * after a restart, and the past is not judged (L5). Beside each block stands which of its instants came with which table.
 */
export function importTable(db: Database, { series, hot, blocks }: Parts): ImportStore {
  const { zonesOfHour, refreshLeaning } = hourZones(blocks, series)
  const selectLines = db.prepare<[], string>('SELECT line FROM import ORDER BY number DESC').pluck()
  const selectNumber = db.prepare<[ImportId], number>('SELECT number FROM import WHERE id = ?').pluck()
  const upsert = db.prepare<[ImportId, string]>(
    'INSERT INTO import (id, line) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET line = excluded.line',
  )
  const remove = db.prepare<[ImportId]>('DELETE FROM import WHERE id = ?')
  const removeHours = db.prepare<[number]>('DELETE FROM import_hour WHERE import = ?')
  const selectTimes = db
    .prepare<[number, number], Buffer>('SELECT times FROM import_hour WHERE key = ? AND import = ?')
    .pluck()
  const upsertTimes = db.prepare<[number, number, number, Buffer]>(
    'INSERT OR REPLACE INTO import_hour (key, import, n, times) VALUES (?, ?, ?, ?)',
  )
  const removeTimes = db.prepare<[number, number]>('DELETE FROM import_hour WHERE key = ? AND import = ?')
  const selectSome = db
    .prepare<[number, number], [number, number, Buffer]>(
      'SELECT key, n, times FROM import_hour WHERE import = ? ORDER BY key LIMIT ?',
    )
    .raw()

  function takeHour(number: number, given: ImportedHour, zonesOf: ZonesOf): TakenIn {
    const { sensor, quantity, at } = given
    const hour = hourOf(at[0] ?? 0)
    const { id } = series.ensure(sensor, quantity)
    if (blocks.thinned(id, hour)) return { added: 0, known: 0, thinned: at.length }
    const stored = blocks.rows(id, hour) ?? noRows
    const fresh = freshIn(given, [stored, hot.hour(id, hour) ?? noRows])
    if (fresh.length > 0) {
      const rows = mergeRows(stored, fresh)
      blocks.save(id, hour, rows, zonesOfHour(id, hour, rows, zonesOf))
      if (!isSamePoint(lastGood(stored), lastGood(rows))) refreshLeaning(id, hour, zonesOf)
      noteTimes(number, keyOf(id, hour), fresh)
    }
    return { added: fresh.length, known: at.length - fresh.length, thinned: 0 }
  }

  function noteTimes(number: number, key: number, fresh: Rows): void {
    const known = selectTimes.get(key, number)
    const before = known === undefined ? [] : unpackTimes(known)
    const at = [...before, ...fresh.at.subarray(0, fresh.length)].sort((a, b) => a - b)
    upsertTimes.run(key, number, at.length, packTimes(at))
  }

  const take = db.transaction<ImportStore['takeIn']>((id, hours, lineOf, zonesOf) => {
    const number = selectNumber.get(id)
    if (number === undefined) throw new Error(`there is no import ${id}`)
    const sum = { added: 0, known: 0, thinned: 0 }
    for (const one of hours) {
      const taken = takeHour(number, one, zonesOf)
      sum.added += taken.added
      sum.known += taken.known
      sum.thinned += taken.thinned
    }
    const line = lineOf(sum)
    upsert.run(id, JSON.stringify(line))
    return line
  })

  /** How many of the hour's readings went, and how many can no longer be told from others. */
  function takeHourOut(
    key: number,
    n: number,
    times: Buffer,
    zonesOf: ZonesOf,
  ): [removed: number, left: number] {
    const { id, hour } = fromKey(key)
    const thinned = blocks.thinned(id, hour)
    if (thinned && thinned.readings !== n) return [0, n]
    const rows = thinned ? noRows : (blocks.rows(id, hour) ?? noRows)
    const taken = new Set(unpackTimes(times))
    const kept = rowsBut(rows, (at) => taken.has(at))
    if (kept.length === 0) blocks.remove(id, hour)
    else blocks.save(id, hour, kept, zonesOfHour(id, hour, kept, zonesOf))
    if (!isSamePoint(lastGood(rows), lastGood(kept)) || thinned) refreshLeaning(id, hour, zonesOf)
    return [thinned ? n : rows.length - kept.length, 0]
  }

  const takeOut = db.transaction<ImportStore['takeOut']>((id, atMost, zonesOf) => {
    const number = selectNumber.get(id) ?? 0
    const some = selectSome.all(number, atMost)
    let [removed, left] = [0, 0]
    for (const [key, n, times] of some) {
      const [gone, stays] = takeHourOut(key, n, times, zonesOf)
      removed += gone
      left += stays
      removeTimes.run(key, number)
    }
    return { removed, left, isDone: some.length < atMost }
  })

  const forget = db.transaction((id: ImportId) => {
    const number = selectNumber.get(id)
    if (number !== undefined) removeHours.run(number)
    remove.run(id)
  })

  return {
    imports: () =>
      tried('reading the imports', () => selectLines.all().map((line) => ImportLine.parse(JSON.parse(line)))),
    saveImport: (line) => tried('noting an import', () => void upsert.run(line.id, JSON.stringify(line))),
    forgetImport: (id) => tried('forgetting an import', () => forget.immediate(id)),

    takeIn(id, hours, lineOf, zonesOf) {
      const newest = series.newest()
      try {
        return take.immediate(id, hours, lineOf, zonesOf)
      } catch (cause) {
        series.forgetAfter(newest)
        throw storageError('taking in a table', cause)
      }
    },

    takeOut: (id, atMost, zonesOf) =>
      tried('taking a table out', () => takeOut.immediate(id, atMost, zonesOf)),
  }
}

/** The readings whose instants none of the others have. */
function freshIn({ at, value, quality }: ImportedHour, others: readonly Rows[]): Rows {
  const fresh = makeRows(at.length)
  let n = 0
  for (const [i, one] of at.entries()) {
    if (others.some((rows) => rows.at[indexFrom(rows, one)] === one && indexFrom(rows, one) < rows.length))
      continue
    fresh.at[n] = one
    fresh.value[n] = (value[i] as number) + 0 // −0 becomes 0, as in every block
    fresh.quality[n] = quality[i] as number
    n++
  }
  fresh.length = n
  return fresh
}
