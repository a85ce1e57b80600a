import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** What SQLite keeps for one database: the file, its log, and the index of the log. */
export const tails = ['', '-wal', '-shm'] as const

export function toDisk(path: string): void {
  const file = openSync(path, 'r')
  try {
    fsyncSync(file)
  } finally {
    closeSync(file)
  }
}

/** An empty file that nobody else may read: databases hold password hashes. Takes the place of what was there. */
export function makePrivate(path: string): void {
  rmSync(path, { force: true })
  closeSync(openSync(path, 'w', 0o600))
}

/** What cannot be removed is not what went wrong: the first failure is told. */
export function removeQuietly(path: string): void {
  try {
    for (const tail of [...tails, '-journal']) rmSync(path + tail, { force: true })
  } catch {
    return
  }
}

/** `20261125T024000Z`: sorts by time, and every file system takes it. */
export const stamp = (at: Instant): string => new Date(at).toISOString().replace(/[-:]|\.\d+/g, '')

export const backupName = (at: Instant): string => `brumal-${stamp(at)}.db`

/** The instant in the name of a backup; null for any other file. */
export function backedUpAt(name: string): Instant | null {
  const match = /^brumal-(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z\.db$/.exec(basename(name))
  if (!match) return null
  const [year, month, day, hour, minute, second] = match.slice(1).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  return instant(Date.UTC(year, month - 1, day, hour, minute, second))
}

/** The path, or the first of `path-2`, `path-3` … that is not taken. */
export function freePath(path: string): string {
  let free = path
  for (let i = 2; existsSync(free); i++) free = `${path}-${i}`
  return free
}

export const sizeOf = (path: string): number => (existsSync(path) ? statSync(path).size : 0)

/** Which file it is and what it holds, as far as the file system tells; not its device, which changes when it comes back. */
export function identityOf(path: string): string | null {
  try {
    const { ino, size, mtimeMs } = statSync(path)
    return size === 0 ? null : `${ino} ${size} ${mtimeMs}`
  } catch {
    return null
  }
}

/** The folder, or the nearest one above it that is there. */
export function nearestFolder(folder: string): string {
  let found = folder
  while (!existsSync(found) && dirname(found) !== found) found = dirname(found)
  return found
}

export const moveIfThere = (from: string, to: string): void => {
  if (existsSync(from)) renameSync(from, to)
}

export const beside = (path: string, name: string): string => join(dirname(path), name)
