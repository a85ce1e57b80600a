import type { Database, Statement } from 'better-sqlite3'
import { DiaryLine } from '../../schemas/diary.ts'
import type { EntryId, PictureId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { DiaryQuery, DiaryStore, Picture, PictureType } from '../ports/season.ts'
import { tried } from './storage-error.ts'
import { readStored } from './stored-json.ts'

interface Row {
  readonly id: string
  readonly entry: string
}

/** Rows as they are put in; shared with the store's commit, so that acts and what they change are one transaction. */
export function diaryTable(db: Database) {
  const insert = db.prepare<
    [string, number, string | null, string | null, string, string | null, string, number]
  >(
    'INSERT INTO diary (id, at, animal, place, kind, entry, noted_by, noted_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)',
  )
  return {
    add(line: DiaryLine): void {
      insert.run(
        line.id,
        line.at,
        line.animal ?? null,
        line.place ?? null,
        line.note.kind,
        JSON.stringify(line),
        line.by,
        line.notedAt,
      )
    },
    /** A row without an entry: what stood before is hidden. */
    hide(line: DiaryLine, by: string, at: Instant): void {
      insert.run(line.id, line.at, line.animal ?? null, line.place ?? null, line.note.kind, null, by, at)
    },
  }
}

/** The diary over an open database, which somebody else closes. */
export function sqliteDiary(db: Database): DiaryStore {
  const table = diaryTable(db)
  const standing =
    'seq = (SELECT max(seq) FROM diary AS newer WHERE newer.id = diary.id) AND entry IS NOT NULL'
  const one = db.prepare<[string], Row>(`SELECT id, entry FROM diary WHERE id = ? AND ${standing}`)
  const addAll = db.transaction((lines: readonly DiaryLine[]) => lines.forEach((line) => table.add(line)))
  const hideAll = db.transaction((ids: readonly EntryId[], by: string, at: Instant) => {
    for (const id of ids) {
      const row = one.get(id)
      if (row !== undefined) table.hide(lineOf(row), by, at)
    }
  })
  const rowsOfAnimal = db.prepare<[string]>('SELECT count(*) FROM diary WHERE animal = ?').pluck()
  const rowsOfPlace = db.prepare<[string]>('SELECT count(*) FROM diary WHERE place = ?').pluck()
  const insertPicture = db.prepare<[string, string, Uint8Array, number]>(
    'INSERT OR REPLACE INTO picture (id, type, bytes, saved_at) VALUES (?, ?, ?, ?)',
  )
  const picture = db.prepare<[string], { type: PictureType; bytes: Buffer }>(
    'SELECT type, bytes FROM picture WHERE id = ?',
  )
  const sweep = db.prepare<[number, string]>(
    `DELETE FROM picture WHERE saved_at < ? AND id NOT IN (SELECT value FROM json_each(?)) AND id NOT IN
      (SELECT json_extract(entry, '$.note.picture') FROM diary WHERE kind = 'photographed' AND entry IS NOT NULL)`,
  )
  const sizes = db.prepare<[], { count: number; bytes: number }>(
    'SELECT count(*) AS count, coalesce(sum(length(bytes)), 0) AS bytes FROM picture',
  )
  const lineOf = (row: Row): DiaryLine => readStored(DiaryLine, row.entry, `The diary entry ${row.id}`)

  /** The same few questions are asked for every animal: each is worked out once. Their forms are some hundreds at most. */
  const questions = new Map<string, Statement<unknown[], Row>>()
  function questionOf(sql: string): Statement<unknown[], Row> {
    const known = questions.get(sql)
    if (known !== undefined) return known
    const made = db.prepare<unknown[], Row>(sql)
    questions.set(sql, made)
    return made
  }

  function entries(query: DiaryQuery): readonly DiaryLine[] {
    const asked: [string, ...unknown[]][] = []
    if (query.animal !== undefined) asked.push(['animal = ?', query.animal])
    if (query.place !== undefined) asked.push(['place = ?', query.place])
    if (query.from !== undefined) asked.push(['at >= ?', query.from])
    if (query.to !== undefined) asked.push(['at < ?', query.to])
    if (query.kinds !== undefined)
      asked.push([`kind IN (${query.kinds.map(() => '?').join(', ')})`, ...query.kinds])
    const where = [standing, ...asked.map(([text]) => text)].join(' AND ')
    // A limit below nothing is none
    const limit = query.limit === undefined ? -1 : Math.trunc(query.limit)
    return questionOf(`SELECT id, entry FROM diary WHERE ${where} ORDER BY at DESC, seq DESC LIMIT ?`)
      .all(...asked.flatMap(([, ...given]) => given), limit)
      .map(lineOf)
  }

  return {
    entries: (query) => tried('reading the diary', () => entries(query)),
    entry: (id: EntryId) =>
      tried('reading the diary', () => {
        const row = one.get(id)
        return row === undefined ? null : lineOf(row)
      }),
    saveEntries: (lines) => tried('writing the diary', () => addAll.immediate(lines)),
    removeEntries: (ids, by, at) => tried('writing the diary', () => hideAll.immediate(ids, by, at)),
    rows: ({ animal, place }) =>
      tried('reading the diary', () =>
        Number(animal === undefined ? rowsOfPlace.get(place ?? '') : rowsOfAnimal.get(animal)),
      ),
    savePicture: (id: PictureId, given: Picture, at) =>
      tried('saving a picture', () => void insertPicture.run(id, given.type, given.bytes, at)),
    picture: (id) => tried('reading a picture', () => picture.get(id) ?? null),
    sweepPictures: (before, keep) =>
      tried('removing pictures', () => void sweep.run(before, JSON.stringify(keep))),
    pictures: () => tried('measuring pictures', () => sizes.get() ?? { count: 0, bytes: 0 }),
  }
}
