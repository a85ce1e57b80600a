import { copyFileSync, rmSync } from 'node:fs'
import { copyFile, mkdir, open, statfs } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'
import { identityOf, makePrivate, removeQuietly, sizeOf, toDisk } from './files.ts'
import { look } from './look.ts'
import { databaseName } from './open.ts'
import { type RunCopyJob, runApart } from './run-apart.ts'
import { isDamage, StorageError, storageError } from './storage-error.ts'
import type { Shelter } from './shelter.ts'
import { swapIn } from './swap.ts'
import { makeSingleFile, soundVersion } from './whole-copy.ts'

interface Ways {
  /** Names what is set aside. */
  readonly now: Instant
  readonly log?: Log | undefined
  /** Does the long work; a process of its own where nothing is said. */
  readonly run?: RunCopyJob
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

/**
 * Puts what an earlier daemon left in memory on the disk; one that is damaged is left where it is. Called at the start,
 * before anything is judged: it may take its time.
 */
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

/**
 * The daemon lives and judges meanwhile, so the long work is done apart: the file is copied while it stands still (what
 * is committed goes into its log), and looked through. Only the log, some pages, is then added in one go.
 */
async function copyBack(path: string, db: Database, { now, log, run = runApart }: Ways): Promise<boolean> {
  const half = `${path}.half`
  const checkpointEvery = Number(db.pragma('wal_autocheckpoint', { simple: true }))
  let isClosed = false
  try {
    await mkdir(dirname(path), { recursive: true, mode: 0o700 })
    const { bavail, bsize } = await statfs(dirname(path))
    if (!db.open || bavail * bsize < bytesOf(db) + roomToSpare) return false
    removeQuietly(half)
    makePrivate(half)
    if (!standStill(db)) return false
    await copyFile(db.name, half)
    await run({ kind: 'check', path: half }, AbortSignal.timeout(checkWithin))
    await flush(half)
    if (!db.open) return false
    // from here to the end nothing else runs, and what comes in later is refused rather than kept where it is forgotten
    db.pragma('query_only = ON')
    isClosed = true
    addLog(db.name, half)
    if (look(half, 'start') === 0) throw new StorageError('diskIsFailing', `${half} came back empty.`)
    toDisk(half)
    const aside = swapIn(half, path, 'before', now)
    log?.info({ path, aside }, 'The disk can be written again: everything is on it.')
    return true
  } catch (cause) {
    if (isClosed) db.pragma('query_only = OFF')
    const error = storageError('going back to the disk', cause)
    if (!(error instanceof StorageError)) throw error
    log?.debug({ code: error.code }, `Still in memory: ${error.message}`)
    return false
  } finally {
    if (db.open) db.pragma(`wal_autocheckpoint = ${checkpointEvery}`)
    removeQuietly(half)
  }
}

/** Ten times what a winter takes on a slow card; a disk that hangs never ends. The next try is a minute later. */
const checkWithin = minutes(10)

/** Everything into the file, and from now on everything into the log. False where a reader is in the way just now. */
function standStill(db: Database): boolean {
  db.pragma('wal_autocheckpoint = 0')
  const [done] = db.pragma('wal_checkpoint(TRUNCATE)') as { readonly busy: number }[]
  return done?.busy === 0
}

/** A file and the log that belongs to it are one database wherever they lie (sqlite.org/fileformat2.html §4). */
function addLog(from: string, half: string): void {
  // the index that the look at it left is of an empty log
  for (const tail of ['-wal', '-shm']) rmSync(half + tail, { force: true })
  if (sizeOf(`${from}-wal`) > 0) {
    makePrivate(`${half}-wal`)
    copyFileSync(`${from}-wal`, `${half}-wal`)
  }
  makeSingleFile(half)
}

async function flush(path: string): Promise<void> {
  const file = await open(path, 'r')
  try {
    await file.sync()
  } finally {
    await file.close()
  }
}

/** A log, and the index of the log. */
const roomToSpare = 8 * 1024 * 1024

const bytesOf = (db: Database): number =>
  Number(db.pragma('page_count', { simple: true })) * Number(db.pragma('page_size', { simple: true }))
