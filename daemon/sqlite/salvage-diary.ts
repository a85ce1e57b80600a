import type { Database } from 'better-sqlite3'
import { isDiaryRow, isPictureRow } from './diary-rows.ts'
import { eachRow } from './salvage-table.ts'

/** Takes over what `to` lacks of the diary, the newer rows by their numbers, and the pictures that are not in it. */
export function salvageDiary(from: Database, to: Database): void {
  to.transaction(() => {
    const newest = Number(to.prepare('SELECT coalesce(max(seq), 0) FROM diary').pluck().get())
    const columns = 'seq, id, at, animal, place, kind, entry, noted_by, noted_at'
    copy(
      from,
      `SELECT ${columns} FROM diary WHERE seq > ? ORDER BY seq`,
      [newest],
      isDiaryRow,
      to.prepare(
        `INSERT OR IGNORE INTO diary (${columns}) VALUES (@seq, @id, @at, @animal, @place, @kind, @entry, @noted_by, @noted_at)`,
      ),
    )
    copy(
      from,
      'SELECT id, type, bytes, saved_at FROM picture ORDER BY rowid',
      [],
      isPictureRow,
      to.prepare(
        'INSERT OR IGNORE INTO picture (id, type, bytes, saved_at) VALUES (@id, @type, @bytes, @saved_at)',
      ),
    )
  }).immediate()
}

/** From both ends of the table: what stands behind a damaged place comes, too. */
function copy(
  from: Database,
  select: string,
  parameters: readonly number[],
  isSound: (row: unknown) => boolean,
  insert: { run(row: unknown): unknown },
): void {
  let looked = 0
  const take = (row: unknown): boolean => {
    if (isSound(row)) insert.run(row)
    return ++looked < mostRows
  }
  if (!eachRow(from, select, parameters, take)) eachRow(from, `${select} DESC`, parameters, take)
}

/** Twenty full diaries, or a hundred thousand pictures; a damaged tree may lead in rings (X3). */
const mostRows = 400_000
