import {
  copyFileSync,
  existsSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from 'node:fs'
import { join, resolve } from 'node:path'
import { identityOf, sizeOf } from './files.ts'
import { type FolderLock, lockFolder } from './lock-folder.ts'
import { databaseName } from './open.ts'

/**
 * A private folder in memory that stands in for one on a disk. It outlives the process, so that a daemon that is
 * started again goes on with what the disk did not take; a restart of the machine ends it.
 */
export interface Shelter {
  readonly folder: string
  /** Whether an earlier daemon left it, with what the disk had not taken. */
  readonly isLeft: boolean
  /** Gives it free, and leaves it for the next. */
  release(): void
  /** Removes it: everything is on the disk. */
  remove(): void
}

/** Beyond the copy itself: the log, and some days of readings. */
const roomToSpare = 32 * 1024 * 1024
const noteName = 'of.json'

/** What an earlier daemon left of the database of `data`, unless the disk has taken something else since. */
export function shelterLeft(data: string, roots: readonly string[]): Shelter | null {
  for (const folder of roots.flatMap(foldersIn)) {
    if (!isOurs(folder) || readNote(folder) !== noteOf(data)) continue
    const lock = lockOrNull(folder)
    if (lock !== null) return shelterAt(folder, lock, true)
  }
  return null
}

/**
 * Makes one in the first of `roots` that takes it and has room, with a copy of the database of `data` and its log as far
 * as they can be read; null where none does.
 */
export function makeShelter(data: string, roots: readonly string[]): Shelter | null {
  const path = join(data, databaseName)
  const bytes = sizeOf(path) + sizeOf(`${path}-wal`)
  for (const root of roots) {
    let folder: string
    try {
      const { bavail, bsize } = statfsSync(root)
      if (bavail * bsize < bytes + roomToSpare) continue
      folder = mkdtempSync(join(root, prefix)) // 0700
    } catch {
      continue
    }
    const lock = lockFolder(folder)
    copyIn(path, join(folder, databaseName))
    writeFileSync(join(folder, noteName), noteOf(data))
    return shelterAt(folder, lock, false)
  }
  return null
}

const prefix = 'brumal-'

function shelterAt(folder: string, lock: FolderLock, isLeft: boolean): Shelter {
  const release = (): void => lock.release()
  return {
    folder,
    isLeft,
    release,
    remove() {
      release()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** A disk that does not give it back leaves nothing here: then a backup has to do. */
function copyIn(from: string, to: string): void {
  try {
    for (const tail of ['', '-wal']) if (sizeOf(from + tail) > 0) copyFileSync(from + tail, to + tail)
  } catch {
    for (const tail of ['', '-wal']) rmSync(to + tail, { force: true })
  }
}

const noteOf = (data: string): string =>
  JSON.stringify({ data: resolve(data), was: identityOf(join(data, databaseName)) })

function readNote(folder: string): string | null {
  try {
    return readFileSync(join(folder, noteName), 'utf8')
  } catch {
    return null
  }
}

function foldersIn(root: string): readonly string[] {
  if (!existsSync(root)) return []
  return readdirSync(root)
    .filter((name) => name.startsWith(prefix))
    .map((name) => join(root, name))
}

/** Everybody may write to the folders around it: one that somebody else has made is not taken for ours. */
function isOurs(folder: string): boolean {
  try {
    const { uid, mode } = lstatSync(folder)
    return uid === process.getuid?.() && (mode & 0o170_777) === 0o040_700
  } catch {
    return false
  }
}

/** Null while another daemon is in it. */
function lockOrNull(folder: string): FolderLock | null {
  try {
    return lockFolder(folder)
  } catch {
    return null
  }
}
