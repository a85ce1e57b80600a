import type { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Outcome } from './outcome.ts'

/** Copies of the database, somewhere else. */
export interface Backups {
  /** Where they go, as the settings say. */
  readonly folder: string
  /**
   * Makes one, looks through it, and lets the oldest go. Rejects with a sentence; leaves no half of one. Ends within
   * seconds of `signal`, with its reason, whatever the folder does.
   */
  make(now: Instant, signal: AbortSignal): Promise<BackupLine>
  /**
   * Newest first, those from the future of `now` last; rejects when the folder cannot be read. A folder that hangs is for
   * the caller to give up with `signal`: no answer holds the thread.
   */
  list(now: Instant, signal: AbortSignal): Promise<readonly BackupLine[]>
}

/** Room on the disk under a folder; null where this machine does not say. */
export type DiskSpace = () => { readonly freeBytes: number; readonly totalBytes: number } | null

/** How everything is kept. */
export interface KeepingDesk {
  /** How everything is kept. */
  keeping(): KeepingNow
  /** Makes a backup now; resolves when it is made and looked through. */
  backUpNow(by: string): Promise<Outcome<BackupLine, 'alreadyRunning' | 'backupFailed'>>
}
