import { existsSync, readdirSync, rmSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import type { BackupLine } from '../../schemas/keeping.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Backups } from '../ports.ts'
import { backUp, backupsIn } from './backup.ts'
import { backedUpAt, nearestFolder } from './files.ts'
import { StorageError, tried } from './storage-error.ts'

/** A half that has not grown for so long belongs to a backup that was killed; another program may be making one now. */
const abandonedAfter = minutes(10)

/** Backups of `data` in `folder`. `ownDisk`: only while that is on another disk than the data. */
export function sqliteBackups(
  data: string,
  { folder, keep, ownDisk }: { readonly folder: string; readonly keep: number; readonly ownDisk: boolean },
): Backups {
  return {
    folder,

    async make(now) {
      tried(`backing up to ${folder}`, () => {
        if (ownDisk) refuseSameDisk(data, folder)
        removeHalves(folder, now)
      })
      const { path, bytes } = await backUp(data, folder, { now, keep })
      return { name: basename(path), at: backedUpAt(path) ?? now, bytes }
    },

    list: () => tried(`looking for backups in ${folder}`, () => backupsIn(folder).flatMap(lineOf)),
  }
}

/** None where it went away in this moment. */
function lineOf(path: string): BackupLine[] {
  const at = backedUpAt(path)
  const found = statSync(path, { throwIfNoEntry: false })
  return at === null || found === undefined ? [] : [{ name: basename(path), at, bytes: found.size }]
}

function refuseSameDisk(data: string, folder: string): void {
  if (statSync(nearestFolder(folder)).dev !== statSync(nearestFolder(data)).dev) return
  throw new StorageError(
    'diskIsTheSame',
    `${folder} is on the same disk as the data: is the second disk mounted?`,
  )
}

function removeHalves(folder: string, now: Instant): void {
  if (!existsSync(folder)) return
  for (const name of readdirSync(folder)) {
    if (!/^brumal-\d{8}T\d{6}Z\.db\.half(?:-\d+)?(?:-journal|-wal|-shm)?$/.test(name)) continue
    const path = join(folder, name)
    const changed = statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? now
    if (now - changed >= abandonedAfter) rmSync(path, { force: true })
  }
}
