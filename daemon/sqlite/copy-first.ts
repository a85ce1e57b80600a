import { mkdirSync, renameSync } from 'node:fs'
import { dirname, join } from 'node:path'
import BetterSqlite from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import { backupName, freePath, makePrivate, removeQuietly, toDisk } from './files.ts'
import { busyTimeoutMs } from './look.ts'
import { StorageError, storageError } from './storage-error.ts'
import { makeSingleFile, soundVersion } from './whole-copy.ts'

/**
 * Copies a database of an older schema whole into `folder`, among the backups, and looks through the copy: a migration
 * that turns out wrong can then be gone back on. Gives the path. Throws a `StorageError` that names both when it cannot
 * be made; no half of one stays.
 */
export function copyFirst(path: string, version: number, folder: string, now: Instant): string {
  const copy = join(folder, backupName(now))
  const half = freePath(`${copy}.half`)
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    makePrivate(half)
    copyWhole(path, half)
    makeSingleFile(half)
    soundVersion(half)
    toDisk(half)
    renameSync(half, copy)
    toDisk(dirname(copy))
    return copy
  } catch (cause) {
    removeQuietly(half)
    const error = storageError(`copying it to ${folder}`, cause)
    if (!(error instanceof StorageError)) throw error
    throw new StorageError(
      error.code,
      `${path} (schema ${version}) was not brought up to date, because no copy of it could be made in ${folder}: ${error.message}`,
      { cause },
    )
  }
}

function copyWhole(path: string, to: string): void {
  const db = new BetterSqlite(path, { readonly: true, fileMustExist: true, timeout: busyTimeoutMs })
  try {
    db.prepare('VACUUM INTO ?').run(to)
  } finally {
    db.close()
  }
}
