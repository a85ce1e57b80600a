import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'
import { backupsIn, newestFirst } from './backup.ts'
import { backedUpAt, makePrivate, removeQuietly, toDisk } from './files.ts'
import { databaseName, openFile } from './open.ts'
import { salvage, type Salvaged } from './salvage.ts'
import { isDiskFault, storageError } from './storage-error.ts'
import { swapIn } from './swap.ts'
import { makeSingleFile, soundVersion } from './whole-copy.ts'

export interface Recovery {
  readonly aside: string | null
  readonly sentence: string
}

/**
 * Puts a new database into the place of a damaged one in `folder`: from the newest backup that is whole, or an empty
 * one, with everything that can still be read in the damaged one. That is set aside, byte for byte as it was. `folders`:
 * where backups may be. Throws a `StorageError` only where the new one cannot be written.
 */
export function recover(
  folder: string,
  {
    folders,
    now,
    log,
  }: { readonly folders: readonly string[]; readonly now: Instant; readonly log: Log | undefined },
): Recovery {
  const path = join(folder, databaseName)
  const half = `${path}.half`
  try {
    const { db, backup } = newest(folders, half, now, log)
    let salvaged: Salvaged
    try {
      salvaged = salvage(path, db)
    } finally {
      db.close()
    }
    makeSingleFile(half)
    soundVersion(half)
    toDisk(half)
    const aside = swapIn(half, path, 'damaged', now)
    return { aside, sentence: sentenceOf(path, aside, backup, salvaged) }
  } catch (cause) {
    removeQuietly(half)
    throw storageError(`recovering ${path}`, cause)
  }
}

/** A database at `half`, of the newest backup that is whole; an empty one where there is none. */
function newest(
  folders: readonly string[],
  half: string,
  now: Instant,
  log: Log | undefined,
): { readonly db: Database; readonly backup: string | null } {
  for (const backup of folders.flatMap((one) => listed(one, now)).toSorted(newestFirst(now))) {
    try {
      removeQuietly(half)
      makePrivate(half)
      copyFileSync(backup, half)
      soundVersion(half)
      return { db: openFile(half, log), backup }
    } catch (cause) {
      const error = storageError(`reading the backup ${backup}`, cause)
      if (isDiskFault(error) && error.code !== 'diskIsFailing') throw error
      log?.warn({ backup, error: String(error) }, 'A backup cannot be used; the one before it is tried.')
    }
  }
  removeQuietly(half)
  makePrivate(half)
  return { db: openFile(half, log), backup: null }
}

function listed(folder: string, now: Instant): readonly string[] {
  try {
    return backupsIn(folder, now)
  } catch {
    return [] // a second disk that is not there has none
  }
}

function sentenceOf(
  path: string,
  aside: string | null,
  backup: string | null,
  { household, hours, watch }: Salvaged,
): string {
  const at = backup === null ? null : backedUpAt(backup)
  const base =
    at === null
      ? 'a new database'
      : `the backup of ${new Date(at).toISOString().slice(0, 16).replace('T', ' ')} UTC`
  const parts = [
    base,
    ...(household ? ['the household as it was last saved'] : []),
    ...(hours > 0 || watch ? ['the readings that could still be read'] : []),
  ]
  const what =
    aside === null ? `${path} could not be read` : `${path} was damaged and is set aside as ${aside}`
  return `${what}; it goes on with ${listOf(parts)}.`
}

const listOf = (parts: readonly string[]): string =>
  parts.length === 1 ? String(parts[0]) : `${parts.slice(0, -1).join(', ')} and ${String(parts.at(-1))}`
