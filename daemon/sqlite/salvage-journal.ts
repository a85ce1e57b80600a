import type { Database } from 'better-sqlite3'
import { isLine, type LineRow } from './journal.ts'
import { eachRow } from './salvage-table.ts'

/** Takes over the lines of the journal that `to` lacks: the newer ones, by their numbers. */
export function salvageJournal(from: Database, to: Database): void {
  const newest = Number(to.prepare('SELECT coalesce(max(id), 0) FROM journal').pluck().get())
  const insert = to.prepare(
    'INSERT OR IGNORE INTO journal (id, at, kind, alarm, entry) VALUES (@id, @at, @kind, @alarm, @entry)',
  )
  let looked = 0
  const take = (row: unknown): boolean => {
    if (isLine(row as LineRow)) insert.run(row)
    return ++looked < mostLines
  }
  const select = 'SELECT id, at, kind, alarm, entry FROM journal WHERE id > ? ORDER BY id'
  to.transaction(() => {
    if (!eachRow(from, select, [newest], take)) eachRow(from, `${select} DESC`, [newest], take)
  }).immediate()
}

/** A line a minute for twenty years; a damaged tree may lead in rings (X3). */
const mostLines = 10_000_000
