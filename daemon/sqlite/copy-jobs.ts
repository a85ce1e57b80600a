import { existsSync, readdirSync, rmSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import { minutes } from '../../schemas/amounts.ts'
import type { BackupLine } from '../../schemas/keeping.ts'
import type { Instant } from '../../schemas/units.ts'
import { backUp, backupsIn } from './backup.ts'
import { backedUpAt, backupName, nearestFolder, removeQuietly } from './files.ts'
import { StorageError, tried } from './storage-error.ts'
import { soundVersion } from './whole-copy.ts'

/** What is done to copies of the database, apart from the thread that judges: each takes seconds to minutes. */
export type CopyJob =
  | {
      readonly kind: 'backUp'
      readonly data: string
      readonly folder: string
      readonly keep: number
      readonly ownDisk: boolean
      readonly now: Instant
    }
  | { readonly kind: 'list'; readonly folder: string; readonly now: Instant }
  | { readonly kind: 'removeHalf'; readonly folder: string; readonly now: Instant }
  | { readonly kind: 'check'; readonly path: string }

interface Answers {
  readonly backUp: BackupLine
  /** Newest first. */
  readonly list: readonly BackupLine[]
  readonly removeHalf: null
  /** Schema of a copy that is whole. */
  readonly check: number
}

export type CopyAnswer<Job extends CopyJob> = Answers[Job['kind']]

/** Does the job in this very thread. Rejects with a `StorageError` where it cannot be done or the copy is not whole. */
export async function doCopyJob<Job extends CopyJob>(job: Job): Promise<CopyAnswer<Job>>
export async function doCopyJob(job: CopyJob): Promise<Answers[CopyJob['kind']]> {
  switch (job.kind) {
    case 'backUp':
      return await makeBackup(job)
    case 'list':
      return tried(`looking for backups in ${job.folder}`, () =>
        backupsIn(job.folder, job.now).flatMap(lineOf),
      )
    case 'removeHalf':
      removeQuietly(join(job.folder, `${backupName(job.now)}.half`))
      return null
    case 'check':
      return tried('looking through the copy', () => soundVersion(job.path))
    default:
      return job satisfies never
  }
}

/** A half that has not grown for so long belongs to a backup that was killed; another program may be making one now. */
const abandonedAfter = minutes(10)

async function makeBackup(job: Extract<CopyJob, { kind: 'backUp' }>): Promise<BackupLine> {
  const { data, folder, keep, ownDisk, now } = job
  tried(`backing up to ${folder}`, () => {
    if (ownDisk) refuseSameDisk(data, folder)
    removeHalves(folder, now)
  })
  const { path, bytes } = await backUp(data, folder, { now, keep })
  return { name: basename(path), at: backedUpAt(path) ?? now, bytes }
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
