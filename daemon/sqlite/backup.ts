import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import { backedUpAt, backupName, makePrivate, removeQuietly, toDisk } from './files.ts'
import { databaseName } from './open.ts'
import { StorageError, storageError } from './storage-error.ts'
import { swapIn } from './swap.ts'
import { makeSingleFile, soundVersion } from './whole-copy.ts'

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
  const path = join(folder, backupName(now))
  const half = `${path}.half`
  let db: Database | null = null
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    makePrivate(half)
    db = new BetterSqlite(from, { readonly: true, timeout: 5000 })
    // One view of the database to the end: without it each commit of the daemon begins the copy anew.
    db.exec('BEGIN')
    db.prepare('SELECT count(*) FROM sqlite_schema').get()
    await db.backup(half)
    makeSingleFile(half)
    const version = soundVersion(half)
    toDisk(half)
    renameSync(half, path)
    toDisk(folder)
    forget(folder, keep, now)
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
    makePrivate(half)
    await copyWhole(file, half)
    toDisk(half)
    const aside = swapIn(half, target, 'before', now)
    return { version, aside }
  } catch (cause) {
    removeQuietly(half)
    throw storageError(`restoring ${basename(file)}`, cause)
  }
}

/** Backups of a folder, newest first by `newestFirst`. */
export function backupsIn(folder: string, now: Instant): readonly string[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder)
    .filter((name) => backedUpAt(name) !== null)
    .toSorted(newestFirst(now))
    .map((name) => join(folder, name))
}

/**
 * Orders backups by the time in their names. One from the future was made while the clock was wrong, so that nobody knows
 * how old it is: it comes after all the others. Where it is the clock of now that is behind, all of them are ahead of it,
 * and the latest stay the longest all the same.
 */
export const newestFirst =
  (now: Instant) =>
  (a: string, b: string): number => {
    const [one, other] = [backedUpAt(a) ?? 0, backedUpAt(b) ?? 0]
    return Number(one > now) - Number(other > now) || other - one
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

function forget(folder: string, keep: number, now: Instant): void {
  for (const old of backupsIn(folder, now).slice(Math.max(1, keep))) rmSync(old)
}
