import type { Database } from 'better-sqlite3'
import { instant } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { OwedHour, UpstreamCursor, UpstreamStore } from '../ports/upstream.ts'
import { startOf } from './hour.ts'
import { type LineRow, lineOf } from './journal.ts'
import { tried } from './storage-error.ts'

/**
 * How far what is kept has gone on to the broker elsewhere: two numbers, and the hours that the fold has taken out of the
 * order of arrival before they had gone.
 */
export function sqliteUpstream(db: Database): UpstreamStore {
  const cursor = db.prepare<[], UpstreamCursor>('SELECT seq, journal AS line FROM upstream')
  const saveCursor = db.prepare<[number, number]>(
    'INSERT OR REPLACE INTO upstream (id, seq, journal) VALUES (1, ?, ?)',
  )
  const ends = db.prepare<[], UpstreamCursor>(
    `SELECT max((SELECT coalesce(max(seq), 0) FROM snapshot), (SELECT coalesce(max(seq), 0) FROM hot)) AS seq,
       (SELECT coalesce(max(id), 0) FROM journal) AS line`,
  )
  const readings = db.prepare<[number, number], ReadingRow>(
    `SELECT hot.seq, series.sensor, series.quantity, hot.at FROM hot JOIN series ON series.id = hot.series
     WHERE hot.seq > ? ORDER BY hot.seq LIMIT ?`,
  )
  const lines = db.prepare<[number, string, number], LineRow>(
    `SELECT id, entry FROM journal WHERE id > ? AND alarm IS NOT NULL
       AND kind IN (SELECT value FROM json_each(?)) ORDER BY id LIMIT ?`,
  )
  const owed = db.prepare<[number], OwedRow>(
    'SELECT id, hour, sensor, quantity, seq FROM upstream_owed ORDER BY hour, sensor, quantity LIMIT ?',
  )
  // what came late meanwhile has a greater number, and the hour is owed again
  const settle = db.prepare<[number, number]>('DELETE FROM upstream_owed WHERE id = ? AND seq <= ?')
  const forgetOldest = db.prepare<[number]>(
    `DELETE FROM upstream_owed WHERE id IN
       (SELECT id FROM upstream_owed ORDER BY hour DESC, sensor, quantity LIMIT -1 OFFSET ?)`,
  )
  const waitingReadings = db.prepare<[number], Waiting>(
    'SELECT count(*) AS count, min(at) AS oldest FROM hot WHERE seq > ?',
  )
  const waitingHours = db.prepare<[], Waiting>(
    'SELECT count(*) AS count, min(hour) AS oldest FROM upstream_owed',
  )
  const waitingLines = db.prepare<[number, string], Waiting>(
    `SELECT count(*) AS count, min(at) AS oldest FROM journal WHERE id > ? AND alarm IS NOT NULL
       AND kind IN (SELECT value FROM json_each(?))`,
  )

  const begin = db.transaction((): UpstreamCursor => {
    const known = cursor.get()
    const end = ends.get() ?? { seq: 0, line: 0 }
    if (known === undefined) saveCursor.run(end.seq, end.line)
    if (known === undefined) return end
    // A database that was made anew from a backup may count lower: what waits goes on again, and names itself the same
    return { seq: known.seq > end.seq ? 0 : known.seq, line: Math.min(known.line, end.line) }
  })
  const end = db.transaction((): void => {
    if (cursor.get() === undefined) return // nothing is written where nothing is set
    db.exec('DELETE FROM upstream; DELETE FROM upstream_owed')
  })
  const save = db.transaction(({ seq, line }: UpstreamCursor, sent: readonly OwedHour[]): void => {
    saveCursor.run(seq, line)
    for (const hour of sent) settle.run(hour.id, hour.seq)
  })

  return {
    begin: () => tried('beginning to pass on', () => begin.immediate()),
    end: () => tried('ending to pass on', () => end.immediate()),
    readingsAfter: (seq, atMost) =>
      tried('reading what is to be passed on', () =>
        readings.all(seq, atMost).map((row) => ({ ...row, at: instant(row.at) })),
      ),
    linesAfter: (line, kinds, atMost) =>
      tried('reading the journal', () => lines.all(line, JSON.stringify(kinds), atMost).map(lineOf)),
    owed: (atMost) =>
      tried('reading what is owed', () =>
        owed.all(atMost).map(({ hour, ...row }) => ({
          ...row,
          from: instant(startOf(hour)),
          to: instant(startOf(hour + 1)),
        })),
      ),
    save: (at, sent) => tried('keeping how far it was passed on', () => save.immediate(at, sent)),
    keepNewest: (hours) =>
      tried('forgetting what is owed', () => (hasMore(hours) ? forgetOldest.run(hours).changes : 0)),
    waiting: ({ seq, line }, kinds: readonly JournalKind[]) =>
      tried('counting what is to be passed on', () => {
        const [hot, hours] = [waitingReadings.get(seq), waitingHours.get()]
        const changes = waitingLines.get(line, JSON.stringify(kinds))
        const oldestHour = hours?.oldest ?? null
        const times = [hot?.oldest, oldestHour === null ? null : startOf(oldestHour), changes?.oldest]
        const known = times.filter((at) => typeof at === 'number')
        return {
          readings: hot?.count ?? 0,
          hours: hours?.count ?? 0,
          alarmChanges: changes?.count ?? 0,
          oldest: known.length === 0 ? null : instant(Math.min(...known)),
        }
      }),
  }

  function hasMore(than: number): boolean {
    return (waitingHours.get()?.count ?? 0) > than
  }
}

interface ReadingRow {
  readonly seq: number
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly at: number
}

interface OwedRow {
  readonly id: number
  readonly hour: number
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly seq: number
}

interface Waiting {
  readonly count: number
  readonly oldest: number | null
}
