import { closeSync, mkdirSync, openSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import type { Log } from '../ports.ts'
import { applicationId, migrations } from './migrations.ts'
import { StorageError, storageError } from './storage-error.ts'

/** The one file that everything is kept in; SQLite puts `-wal` and `-shm` beside it. */
export const databaseName = 'brumal.db'

/** Wait for another connection's lock: a copy being taken holds one for well under a second. */
const busyTimeoutMs = 5000
/** Page cache in KiB: the summaries of a winter for 20 sensors fit; a small board can spare it. */
const cacheKib = 16_384
/** Pages in the log before they are moved into the file: SQLite's own default, 4 MB. */
const autocheckpointPages = 1000
/** A log that grew beyond this in a burst is cut back at the next checkpoint. */
const logLimitBytes = 16_777_216
/** Tables that start-up depends on and that stay small; a whole check of years of readings would take minutes. */
const smallTables = [
  'series',
  'hot',
  'household',
  'snapshot',
  'person',
  'session',
  'secret',
  'parcel',
  'channel_secret',
  'ring',
  'invitation',
  'access_token',
  'device',
] as const

/**
 * Opens or makes `brumal.db` in the folder (made too), brings it to the newest schema and proves that commits are
 * durable. Throws a `StorageError` when it is newer, foreign, damaged or cannot be written.
 */
export function openDatabase(folder: string, { log }: { log?: Log | undefined } = {}): Database {
  const path = join(folder, databaseName)
  let db: Database | null = null
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    closeSync(openSync(path, 'a', 0o600)) // holds password hashes: nobody else's to read
    db = new BetterSqlite(path, { timeout: busyTimeoutMs })
    refuseOthers(db, path)
    configure(db)
    migrate(db, log)
    proveDurable(db)
    checkSmallTables(db, path)
    return db
  } catch (cause) {
    db?.close()
    throw storageError(`opening ${path}`, cause)
  }
}

function refuseOthers(db: Database, path: string): void {
  const version = versionOf(db)
  const isOurs = db.pragma('application_id', { simple: true }) === applicationId
  const isEmpty = db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() === 0
  if (!isOurs && !isEmpty)
    throw new StorageError('databaseIsForeign', `${path} was not written by Brumal: choose another folder.`)
  if (version > migrations.length)
    throw new StorageError(
      'databaseIsNewer',
      `${path} was written by a newer Brumal (schema ${version}, this program knows ${migrations.length}): install the newer program again, or restore a backup made before the upgrade.`,
    )
}

function configure(db: Database): void {
  db.pragma('page_size = 4096')
  db.pragma('journal_mode = WAL')
  // after the journal mode: this build falls back to NORMAL in WAL, and a power cut may then take the last commits
  db.pragma('synchronous = FULL')
  db.pragma('foreign_keys = ON')
  db.pragma('temp_store = MEMORY')
  db.pragma('cell_size_check = ON')
  db.pragma(`cache_size = -${cacheKib}`)
  db.pragma(`wal_autocheckpoint = ${autocheckpointPages}`)
  db.pragma(`journal_size_limit = ${logLimitBytes}`)
}

function migrate(db: Database, log: Log | undefined): void {
  const before = versionOf(db)
  for (const [i, sql] of migrations.entries()) {
    if (i < before) continue
    db.transaction(() => {
      db.exec(sql)
      db.pragma(`application_id = ${applicationId}`)
      db.pragma(`user_version = ${i + 1}`)
    }).immediate()
  }
  if (before < migrations.length)
    log?.info(
      { from: before, to: migrations.length },
      before === 0 ? 'database made' : 'database brought up to date',
    )
}

/** The setting shows what it is worth only after the first write, so write and read it back. */
function proveDurable(db: Database): void {
  db.pragma(`user_version = ${versionOf(db)}`)
  const synchronous = db.pragma('synchronous', { simple: true })
  if (synchronous !== 2)
    throw new Error(`synchronous reads ${String(synchronous)} after a write, expected 2 (FULL)`)
}

function checkSmallTables(db: Database, path: string): void {
  for (const table of smallTables) {
    const verdict = db.pragma(`quick_check('${table}')`, { simple: true })
    if (verdict !== 'ok')
      throw new StorageError('databaseIsDamaged', `${path} is damaged: ${String(verdict)} (table ${table}).`)
  }
}

const versionOf = (db: Database): number => Number(db.pragma('user_version', { simple: true }))
