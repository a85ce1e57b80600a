import { closeSync, mkdirSync, openSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import { notCompiled } from './not-compiled.ts'
import { isDiskFault, StorageError, storageError } from './storage-error.ts'

export interface FolderLock {
  /** False where the disk took no lock: the daemon goes on without, from memory (N2). */
  readonly isHeld: boolean
  /** Gives the folder free; a second call does nothing. */
  release(): void
}

/**
 * Makes this process the only Brumal on the folder until `release` or the end of the process, however it ends: the
 * lock is the operating system's, on `lock.db`. Throws a `StorageError` `folderIsTaken` when somebody else is; on a disk
 * that is full, read-only or failing the lock holds nothing.
 */
export function lockFolder(folder: string): FolderLock {
  const path = join(folder, 'lock.db')
  let db: Database | null = null
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    closeSync(openSync(path, 'a', 0o600))
    db = new BetterSqlite(path, { timeout: 0 })
    db.exec('BEGIN EXCLUSIVE')
  } catch (cause) {
    db?.close()
    const unfit = notCompiled(cause)
    if (unfit !== null) throw new Error(unfit)
    const error = storageError(`locking ${folder}`, cause)
    if (isDiskFault(error)) return { isHeld: false, release() {} }
    if (!(error instanceof StorageError) || error.code !== 'databaseIsBusy') throw error
    throw new StorageError(
      'folderIsTaken',
      `Another Brumal is already running on ${folder}: stop it first, or give this one a folder of its own.`,
      { cause },
    )
  }
  const held = db
  const release = (): void => {
    process.off('exit', release)
    held.close()
  }
  process.on('exit', release) // also keeps the handle from being collected, which would drop the lock
  return { isHeld: true, release }
}
