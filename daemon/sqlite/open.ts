import { closeSync, mkdirSync, openSync, statSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'
import { copyFirst } from './copy-first.ts'
import { removeQuietly } from './files.ts'
import { busyTimeoutMs, look } from './look.ts'
import { applicationId, migrations } from './migrations.ts'
import { tried } from './storage-error.ts'
import { finishSwap } from './swap.ts'

/** The one file that everything is kept in; SQLite puts `-wal` and `-shm` beside it. */
export const databaseName = 'brumal.db'

/** Page cache in KiB: the summaries of a winter for 20 sensors fit; a small board can spare it. */
const cacheKib = 16_384
/**
 * For a new database. Most commits rewrite one page, and with its 24 bytes of head in the log a page of 4096 always
 * dirties two of the file system's. For 20 sensors at 10 s in commits of 5 s, `write_bytes` of a day fell from 259 to
 * 206 MB. Pages of 1024 save another eighth, but hold one block instead of two: a reading then takes a sixth more.
 */
const pageBytes = 2048
/** Pages in the log before they are moved into the file: 4 MB. Four times as many save 3 % of what is written. */
const autocheckpointPages = 2000
/** A log that grew beyond this in a burst is cut back at the next checkpoint. */
const logLimitBytes = 16_777_216

export interface Opening {
  readonly log?: Log | undefined
  /** Names the copy that is made before a migration; the time of the last write where it is left out. */
  readonly now?: Instant | undefined
  /** Where that copy goes: `backups` beside the database when left out; null makes none. */
  readonly backupsFolder?: string | null | undefined
}

/**
 * Opens or makes `brumal.db` in the folder (made too), brings it to the newest schema, a whole copy first, and proves
 * that commits are durable. Throws a `StorageError` when it is newer, foreign, damaged or cannot be written; a damaged
 * one has not been touched then.
 */
export function openDatabase(folder: string, { log, now, backupsFolder }: Opening = {}): Database {
  const path = join(folder, databaseName)
  return tried(`opening ${path}`, () => {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    finishSwap(path)
    closeSync(openSync(path, 'a', 0o600)) // holds password hashes: nobody else's to read
    const version = look(path, 'start')
    if (version === 0 || version === migrations.length || backupsFolder === null) return openFile(path, log)
    const copies = backupsFolder ?? join(folder, 'backups')
    const copy = copyFirst(path, version, copies, now ?? instant(Math.floor(statSync(path).mtimeMs)))
    try {
      return openFile(path, log)
    } catch (cause) {
      // nothing has changed, and a program that is started again and again would fill the disk with the same copy
      if (look(path, 'start') === version) removeQuietly(copy)
      throw cause
    }
  })
}

/** Opens a database that has been looked at, and brings it to the newest schema. */
export function openFile(path: string, log?: Log): Database {
  const db = new BetterSqlite(path, { timeout: busyTimeoutMs })
  try {
    configure(db)
    migrate(db, log)
    proveDurable(db)
    return db
  } catch (cause) {
    db.close()
    throw cause
  }
}

function configure(db: Database): void {
  db.pragma(`page_size = ${pageBytes}`)
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

const versionOf = (db: Database): number => Number(db.pragma('user_version', { simple: true }))
