import { closeSync, openSync, readSync } from 'node:fs'
import BetterSqlite, { type Database } from 'better-sqlite3'
import { decodeBlock } from './block-codec.ts'
import { isDiaryRow } from './diary-rows.ts'
import { sizeOf } from './files.ts'
import { isLine, type LineRow } from './journal.ts'
import { applicationId, migrations } from './migrations.ts'
import { seriesTable, smallTables } from './small-tables.ts'
import { StorageError } from './storage-error.ts'

/**
 * start: what start-up depends on · pages: that, and every page · everything: and every block of readings, which takes
 * minutes over years of them, every line of the journal and of the diary.
 */
export type Depth = 'start' | 'pages' | 'everything'

/**
 * Looks at a database without changing a byte of it, so that a damaged one can still be set aside as it was found.
 * Throws a `StorageError` where it is damaged, foreign or newer. Gives the schema; 0 for one that has yet to be made.
 */
export function look(path: string, depth: Depth): number {
  if (sizeOf(path) === 0) return 0
  checkHeader(path)
  const db = new BetterSqlite(path, { readonly: true, fileMustExist: true, timeout: busyTimeoutMs })
  try {
    db.pragma('cell_size_check = ON')
    const version = checkSchema(db, path)
    checkTables(db, path)
    if (depth !== 'start') checkPages(db, path)
    if (depth === 'everything') {
      checkBlocks(db, path)
      checkJournal(db, path)
      if (version >= diarySince) checkDiary(db, path)
    }
    return version
  } finally {
    db.close()
  }
}

/** Wait for another connection's lock: a copy being taken holds one for well under a second. */
export const busyTimeoutMs = 5000

const damaged = (path: string, what: string, cause?: unknown): StorageError =>
  new StorageError('databaseIsDamaged', `${path} is damaged: ${what}.`, { cause })

/**
 * Fields of the header that SQLite would answer to with another complaint than damage, or with silence
 * (sqlite.org/fileformat2.html §1.3): formats 1 or 2, no reserved space, schema format 1 to 4, UTF-8, no auto-vacuum.
 */
function checkHeader(path: string): void {
  const header = Buffer.alloc(headerBytes)
  const file = openSync(path, 'r')
  try {
    readSync(file, header, 0, headerBytes, 0)
  } finally {
    closeSync(file)
  }
  const [write, read, reserved] = [header[18] ?? 0, header[19] ?? 0, header[20]]
  const schemaFormat = header.readUInt32BE(44)
  const encoding = header.readUInt32BE(56)
  const isSound =
    header.toString('latin1', 0, 16) === 'SQLite format 3\0' &&
    write >= 1 &&
    write <= 2 &&
    write === read &&
    reserved === 0 &&
    schemaFormat <= 4 &&
    encoding <= 1 &&
    header.readUInt32BE(52) === 0 &&
    header.readUInt32BE(64) === 0
  if (!isSound) throw damaged(path, 'its header is not one of a database of ours')
}

const headerBytes = 100

function checkSchema(db: Database, path: string): number {
  const version = Number(db.pragma('user_version', { simple: true }))
  const isMarked = db.pragma('application_id', { simple: true }) === applicationId
  const found = new Set(objectsIn(db))
  const first = objectsOf(1)
  const isOurs = isMarked || first.every((object) => found.has(object))
  if (!isOurs && found.size > 0)
    throw new StorageError('databaseIsForeign', `${path} was not written by Brumal: choose another folder.`)
  if (found.size === 0 && version === 0) return 0
  if (version > migrations.length && version <= largestBelievable)
    throw new StorageError(
      'databaseIsNewer',
      `${path} was written by a newer Brumal (schema ${version}, this program knows ${migrations.length}): install the newer program again, or restore a backup made before the upgrade.`,
    )
  if (version < 1 || version > migrations.length)
    throw damaged(path, `its schema reads ${version}, which there is not`)
  if (!isMarked) throw damaged(path, 'its mark is gone')
  const expected = objectsOf(version)
  if (!expected.every((object) => found.has(object)))
    throw damaged(path, `its tables are not those of schema ${version}`)
  const later = objectsOf(migrations.length).filter((object) => !expected.includes(object))
  if (later.some((object) => found.has(object)))
    throw damaged(path, `it holds tables of a later schema than ${version}`)
  return version
}

/** A newer program's schema is a little above ours; a byte that has changed makes it anything. */
const largestBelievable = 200

const objectsIn = (db: Database): string[] =>
  db
    .prepare<[], string>(
      "SELECT type || ' ' || name || ' ' || tbl_name || ' ' || sql FROM sqlite_schema WHERE sql IS NOT NULL",
    )
    .pluck()
    .all()

/** Tables and indexes of a schema that there has been. */
function objectsOf(version: number): readonly string[] {
  const db = new BetterSqlite(':memory:')
  try {
    for (const sql of migrations.slice(0, version)) db.exec(sql)
    return objectsIn(db)
  } finally {
    db.close()
  }
}

function checkTables(db: Database, path: string): void {
  const there = new Set(db.prepare<[], string>('SELECT name FROM sqlite_schema').pluck().all())
  for (const table of smallTables) {
    if (!there.has(table.name)) continue
    const verdict = db.pragma(`quick_check('${table.name}')`, { simple: true })
    if (verdict !== 'ok') throw damaged(path, `${String(verdict)} (table ${table.name})`)
    for (const row of db.prepare<[], object>(`SELECT * FROM ${table.name}`).iterate())
      if (!table.row.safeParse(row).success)
        throw damaged(path, `a row of the table ${table.name} cannot be read`)
  }
  if (!there.has(seriesTable.name)) return
  const nameless = db.prepare('SELECT 1 FROM hot WHERE series NOT IN (SELECT id FROM series)').get()
  if (nameless !== undefined) throw damaged(path, 'it holds readings of a series that it does not name')
}

function checkPages(db: Database, path: string): void {
  const verdict = db.pragma('integrity_check(1)', { simple: true })
  if (verdict !== 'ok') throw damaged(path, String(verdict))
  if ((db.pragma('foreign_key_check') as unknown[]).length > 0)
    throw damaged(path, 'something belongs to a person who is not there')
}

function checkBlocks(db: Database, path: string): void {
  for (const data of db.prepare<[], Buffer>('SELECT data FROM block_data').pluck().iterate())
    try {
      decodeBlock(data)
    } catch (cause) {
      throw damaged(path, 'a block of readings has changed since it was written', cause)
    }
}

function checkJournal(db: Database, path: string): void {
  for (const row of db.prepare<[], LineRow>('SELECT id, entry FROM journal').iterate())
    if (!isLine(row)) throw damaged(path, `line ${row.id} of its journal cannot be read`)
}

/** The first schema that has a diary. */
const diarySince = 3

function checkDiary(db: Database, path: string): void {
  const rows = db.prepare<[], { seq: number }>('SELECT * FROM diary')
  for (const row of rows.iterate())
    if (!isDiaryRow(row)) throw damaged(path, `row ${row.seq} of its diary cannot be read`)
}
