import { copyFileSync, mkdirSync, statfsSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports.ts'
import { identityOf, makePrivate, removeQuietly, toDisk } from './files.ts'
import { databaseName } from './open.ts'
import { isDamage, StorageError, storageError } from './storage-error.ts'
import type { Shelter } from './shelter.ts'
import { swapIn } from './swap.ts'
import { makeSingleFile, soundVersion } from './whole-copy.ts'

interface Ways {
  /** Names what is set aside. */
  readonly now: Instant
  readonly log?: Log | undefined
}

/** The way back to the folder for a database that is in memory for the time being. Never two tries at once. */
export function bringBackTo(
  data: string,
  db: Database,
  shelter: Shelter,
  ways: Ways,
): () => Promise<boolean> {
  const path = join(data, databaseName)
  const known = identityOf(path)
  let isBack = false
  let running: Promise<boolean> | null = null

  async function bringBack(): Promise<boolean> {
    if (isBack) return true
    // a disk that was not there at the start, and is now, has a database of its own
    if (identityOf(path) !== known) {
      ways.log?.warn(
        { path },
        `${path} is not the file that it was at the start: restart Brumal to go on with it.`,
      )
      return false
    }
    isBack = await copyBack(path, db, ways)
    if (isBack) shelter.remove()
    return isBack
  }

  return () => {
    running ??= bringBack().finally(() => {
      running = null
    })
    return running
  }
}

/** Puts what an earlier daemon left in memory on the disk; one that is damaged is left where it is. */
export function takeBack(shelter: Shelter, path: string, { now, log }: Ways): void {
  const left = join(shelter.folder, databaseName)
  const half = `${path}.half`
  try {
    makeSingleFile(left)
    makePrivate(half)
    copyFileSync(left, half)
    soundVersion(half)
    toDisk(half)
    const aside = swapIn(half, path, 'before', now)
    shelter.remove()
    log?.warn({ path, aside }, 'What an earlier run had kept in memory is on the disk now.')
  } catch (cause) {
    shelter.release()
    removeQuietly(half)
    const error = storageError('taking back what was kept in memory', cause)
    if (!isDamage(error)) throw error
    log?.error(
      { left, error: String(error) },
      'What an earlier run had kept in memory is damaged, and left there.',
    )
  }
}

async function copyBack(path: string, db: Database, { now, log }: Ways): Promise<boolean> {
  const half = `${path}.half`
  let isClosed = false
  try {
    mkdirSync(join(path, '..'), { recursive: true, mode: 0o700 })
    const { bavail, bsize } = statfsSync(join(path, '..'))
    if (bavail * bsize < bytesOf(db) + roomToSpare) return false
    makePrivate(half)
    await db.backup(half)
    // from here to the end nothing else runs, and what comes in later is refused rather than kept where it is forgotten
    db.pragma('query_only = ON')
    isClosed = true
    makeSingleFile(half)
    soundVersion(half)
    toDisk(half)
    const aside = swapIn(half, path, 'before', now)
    log?.info({ path, aside }, 'The disk can be written again: everything is on it.')
    return true
  } catch (cause) {
    if (isClosed) db.pragma('query_only = OFF')
    removeQuietly(half)
    const error = storageError('going back to the disk', cause)
    if (!(error instanceof StorageError)) throw error
    log?.debug({ code: error.code }, `Still in memory: ${error.message}`)
    return false
  }
}

/** A log, and the index of the log. */
const roomToSpare = 8 * 1024 * 1024

const bytesOf = (db: Database): number =>
  Number(db.pragma('page_count', { simple: true })) * Number(db.pragma('page_size', { simple: true }))
