import { z } from 'zod'
import { Instant } from './units.ts'
import { UpstreamNow } from './upstream.ts'

/** One copy of the database, whole and looked through when it was made. */
export const BackupLine = z.strictObject({ name: z.string(), at: Instant, bytes: z.int().min(0) })
export type BackupLine = z.infer<typeof BackupLine>

/** How everything is kept: the database, the disk under it, and the copies of it. */
export const KeepingNow = z.strictObject({
  database: z.strictObject({
    bytes: z.int().min(0),
    /** False while the disk takes nothing and what comes in is in memory only (N2). */
    isOnDisk: z.boolean(),
    /** Readings that wait in memory for the disk. */
    waiting: z.int().min(0),
    /** The oldest hour of which every single reading is kept, and what is older than that, as hourly values. */
    everyReadingFrom: Instant.nullable(),
    hourlyFrom: Instant.nullable(),
    sentence: z.string(),
  }),
  /** Null where this machine does not say. */
  disk: z.strictObject({ freeBytes: z.int().min(0), totalBytes: z.int().min(0) }).nullable(),
  backups: z.strictObject({
    isOn: z.boolean(),
    folder: z.string(),
    /** Local time of day, `03:30`. */
    at: z.string(),
    keep: z.int().min(1),
    isRunning: z.boolean(),
    /** What the last try came to, in one sentence. */
    sentence: z.string().nullable(),
    failedSince: Instant.nullable(),
    nextAt: Instant.nullable(),
    /** Newest first. */
    list: z.array(BackupLine),
  }),
  clock: z.strictObject({ isTrusted: z.boolean(), sentence: z.string().nullable() }),
  /** Passing on to a broker elsewhere; absent where none is set. */
  upstream: UpstreamNow.optional(),
})
export type KeepingNow = z.infer<typeof KeepingNow>
