import type { Database } from 'better-sqlite3'
import type { JournalLine } from '../../schemas/api.ts'
import { qualityFromCode } from '../../schemas/reading.ts'
import { instant } from '../../schemas/amounts.ts'
import type { Batch, JudgedReading, Store } from '../ports/store.ts'
import { blocksOf } from './blocks.ts'
import { columnsOf, emptyColumns } from './columns.ts'
import { diaryTable } from './diary.ts'
import { documentsOf } from './documents.ts'
import { foldHours } from './fold.ts'
import { historyOf } from './history.ts'
import { hotReadings } from './hot-readings.ts'
import { importTable } from './imports.ts'
import { journalTable } from './journal.ts'
import { parcelTable } from './parcels.ts'
import { seriesRegister } from './series.ts'
import { storageError, tried } from './storage-error.ts'
import { summariesOf, unheard } from './summaries.ts'
import { sizeOf, thinnerOf } from './thinning.ts'

/**
 * The store over an open database, which it closes. It remembers the readings that wait for the fold, so there must
 * be one writer only: hold `lockFolder` first. What SQLite refuses is thrown as a `StorageError`.
 */
export function sqliteStore(db: Database): Store {
  const series = seriesRegister(db)
  const hot = hotReadings(db, series)
  const blocks = blocksOf(db)
  const history = historyOf(blocks, hot)
  const journal = journalTable(db)
  const parcels = parcelTable(db)
  const documents = documentsOf(db)
  const diary = diaryTable(db)
  const columns = columnsOf(blocks, hot, history)
  const summaries = summariesOf(blocks, hot, history)
  const saveSnapshot = (snapshot: string): void => documents.saveSnapshot(snapshot, hot.lastSeq())
  const fold = foldHours(db, { series, hot, blocks, saveSnapshot })
  const thin = thinnerOf(db, hot)
  const size = sizeOf(db, hot, blocks)
  const imports = importTable(db, { series, hot, blocks })

  const write = db.transaction((batch: Batch): JournalLine[] => {
    hot.add(batch.readings)
    if (batch.household !== undefined) documents.saveHousehold(batch.household)
    if (batch.snapshot !== undefined) saveSnapshot(batch.snapshot)
    for (const parcel of batch.parcels ?? []) parcels.add(parcel)
    for (const line of batch.diary ?? []) diary.add(line)
    return batch.journal.map((entry) => journal.add(entry))
  })

  return {
    commit(batch) {
      const lastSeq = hot.lastSeq()
      const newestSeries = series.newest()
      try {
        return write.immediate(batch)
      } catch (cause) {
        hot.forgetAfter(lastSeq)
        series.forgetAfter(newestSeries)
        throw storageError(`storing ${batch.readings.length} readings`, cause)
      }
    },

    household: () => tried('reading the household', () => documents.household()),

    resume: () =>
      tried('resuming', () => {
        const snapshot = documents.snapshot()
        return { snapshot: snapshot?.text ?? null, since: hot.since(snapshot?.seq ?? 0) }
      }),

    fold: (closedBefore, zonesOf, snapshot) =>
      tried('folding ended hours', () => fold(closedBefore, zonesOf, snapshot)),

    unfolded: hot.count,

    thin: (before, atMost) => tried('thinning old hours', () => thin(before, atMost)),
    size: () => tried('measuring the database', size),

    readings: (sensor, quantity, from, to) =>
      tried('reading readings', () => {
        const known = series.find(sensor, quantity)
        if (!known) return []
        const rows = history.rows(known.id, from, to)
        return Array.from(
          { length: rows.length },
          (_, i): JudgedReading => ({
            sensor,
            quantity,
            at: instant(rows.at[i] as number),
            value: rows.value[i] as number,
            quality: qualityFromCode(rows.quality[i] as number),
          }),
        )
      }),

    columns: (sensor, quantity, from, to, count, gap) =>
      tried('reading columns', () => {
        const known = series.find(sensor, quantity)
        if (!known) return { resolution: 'readings', columns: emptyColumns() }
        return columns(known.id, from, to, count, gap)
      }),

    summaries: (sensor, quantity, stretches, zonesOf) =>
      tried('summing up', () => {
        const known = series.find(sensor, quantity)
        if (known) return summaries(known, stretches, zonesOf)
        return stretches.map((stretch) => unheard(zonesOf(sensor, quantity, stretch, null, [])))
      }),

    span: (sensor, quantity) =>
      tried('reading the span', () => {
        const known = series.find(sensor, quantity)
        const span = known ? history.span(known.id) : null
        return span && { first: instant(span.first), last: instant(span.last) }
      }),

    ...imports,

    journal: (query) => tried('reading the journal', () => journal.lines(query)),

    close() {
      db.close()
    },
  }
}
