import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs'
import { basename, join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import { applicationId, migrations } from './migrations.ts'
import { databaseName } from './open.ts'
import { StorageError, storageError } from './storage-error.ts'

export interface Backup {
  readonly path: string
  readonly bytes: number
  /** Schema that it was written by. */
  readonly version: number
}

/**
 * Copies the database of `data` into `folder` (made when missing), consistent while the daemon writes, looks through
 * the whole copy, and only then gives it its name: `brumal-20261125T024000Z.db`. The newest `keep` stay. Throws a
 * `StorageError`, and leaves no half of a copy, when it cannot be made or what it holds is damaged.
 */
export async function backUp(
  data: string,
  folder: string,
  { now, keep }: { readonly now: Instant; readonly keep: number },
): Promise<Backup> {
  const from = join(data, databaseName)
  if (!existsSync(from)) throw new StorageError('databaseIsMissing', `There is no database in ${data} yet.`)
  const path = join(folder, nameAt(now))
  const half = `${path}.half`
  let db: Database | null = null
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    closeSync(openSync(half, 'w', 0o600)) // holds password hashes: nobody else's to read
    db = new BetterSqlite(from, { readonly: true, timeout: 5000 })
    await db.backup(half)
    makeSingleFile(half)
    const version = soundVersion(half)
    toDisk(half)
    renameSync(half, path)
    toDisk(folder)
    forget(folder, keep)
    return { path, bytes: statSync(path).size, version }
  } catch (cause) {
    removeQuietly(half)
    throw storageError(`backing up to ${folder}`, cause)
  } finally {
    db?.close()
  }
}

/**
 * Puts a backup into the place of `data`'s database. What is there is set aside under another name, never deleted, and
 * only where `replaces` says so. The daemon must be stopped: hold `lockFolder`. Returns the name of what was set aside.
 */
export async function restoreFrom(
  file: string,
  data: string,
  { now, replaces }: { readonly now: Instant; readonly replaces: boolean },
): Promise<{ readonly version: number; readonly aside: string | null }> {
  const target = join(data, databaseName)
  const isThere = existsSync(target)
  if (isThere && !replaces)
    throw new StorageError(
      'databaseIsThere',
      `${target} is there already: add --replace to set it aside and put the backup in its place.`,
    )
  const half = `${target}.half`
  try {
    if (!existsSync(file)) throw new StorageError('databaseIsMissing', `There is no file ${file}.`)
    const version = soundVersion(file)
    mkdirSync(data, { recursive: true, mode: 0o700 })
    closeSync(openSync(half, 'w', 0o600))
    await copyWhole(file, half)
    toDisk(half)
    const aside = isThere ? `${databaseName}.before-${stamp(now)}` : null
    // Its log first: without it the file set aside is an older state, with it and another file it would be nonsense.
    if (aside !== null)
      for (const tail of ['-wal', '-shm', ''])
        if (existsSync(target + tail)) renameSync(target + tail, join(data, aside + tail))
    renameSync(half, target)
    toDisk(data)
    return { version, aside }
  } catch (cause) {
    removeQuietly(half)
    throw storageError(`restoring ${basename(file)}`, cause)
  }
}

/** Backups of a folder, newest first. */
export function backupsIn(folder: string): readonly string[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder)
    .filter((name) => /^brumal-\d{8}T\d{6}Z\.db$/.test(name))
    .toSorted()
    .toReversed()
    .map((name) => join(folder, name))
}

/** With whatever still stands in a log beside it: somebody may restore from a data folder of another machine. */
async function copyWhole(file: string, to: string): Promise<void> {
  const db = new BetterSqlite(file, { readonly: true, fileMustExist: true })
  try {
    await db.backup(to)
  } finally {
    db.close()
  }
}

/** A copy without a log of its own can be read from a disk that cannot be written. */
function makeSingleFile(path: string): void {
  const db = new BetterSqlite(path)
  try {
    db.pragma('journal_mode = DELETE')
  } finally {
    db.close()
  }
}

/** Looks through every page of a copy. Throws where it is another program's, a newer one's, or damaged. */
function soundVersion(path: string): number {
  const db = new BetterSqlite(path, { readonly: true, fileMustExist: true })
  try {
    if (db.pragma('application_id', { simple: true }) !== applicationId)
      throw new StorageError('databaseIsForeign', `${path} was not written by Brumal.`)
    const version = Number(db.pragma('user_version', { simple: true }))
    if (version > migrations.length)
      throw new StorageError(
        'databaseIsNewer',
        `${path} was written by a newer Brumal (schema ${version}, this program knows ${migrations.length}).`,
      )
    const verdict = db.pragma('integrity_check(1)', { simple: true })
    if (verdict !== 'ok')
      throw new StorageError('databaseIsDamaged', `${path} is damaged: ${String(verdict)}.`)
    return version
  } finally {
    db.close()
  }
}

function forget(folder: string, keep: number): void {
  for (const old of backupsIn(folder).slice(Math.max(1, keep))) rmSync(old)
}

function toDisk(path: string): void {
  const file = openSync(path, 'r')
  try {
    fsyncSync(file)
  } finally {
    closeSync(file)
  }
}

/** What cannot be removed is not what went wrong: the first failure is told. */
function removeQuietly(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch {
    return
  }
}

/** `20261125T024000Z`: sorts by time, and every file system takes it. */
const stamp = (at: Instant): string => `${new Date(at).toISOString().replace(/[-:]|\.\d+/g, '')}`
const nameAt = (at: Instant): string => `brumal-${stamp(at)}.db`
