import type { Desk } from '../../daemon/ports/desk.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { BackupLine } from '../../schemas/keeping.ts'
import type { Instant } from '../../schemas/units.ts'

export interface KeepingForHttp extends Pick<Desk, 'keeping' | 'backUpNow'> {
  /** From now on the store is well or fails, and the next backups come to this. */
  keepAs(how: {
    readonly isOnDisk?: boolean
    readonly backup?: 'made' | 'alreadyRunning' | 'backupFailed'
  }): void
}

/** A desk's keeping in memory: every backup is made at once, or refused as a test wants it. */
export function keepingForHttp(world: {
  readonly now: () => Instant
  readonly done: (kind: JournalEntry['kind'], by: string, text: string) => void
}): KeepingForHttp {
  const list: BackupLine[] = []
  let how: Required<Parameters<KeepingForHttp['keepAs']>[0]> = { isOnDisk: true, backup: 'made' }
  return {
    keepAs(more) {
      how = { ...how, ...more }
    },
    keeping: () => ({
      database: {
        bytes: 4_500_000,
        isOnDisk: how.isOnDisk,
        waiting: how.isOnDisk ? 0 : 12,
        everyReadingFrom: null,
        hourlyFrom: null,
        sentence: '4.5 MB: no readings yet.',
      },
      disk: { freeBytes: 12_000_000_000, totalBytes: 31_000_000_000 },
      backups: {
        isOn: true,
        folder: '/var/lib/brumal/backups',
        at: '03:30',
        keep: 14,
        isRunning: how.backup === 'alreadyRunning',
        sentence: null,
        failedSince: null,
        nextAt: null,
        list,
      },
      clock: { isTrusted: true, sentence: null },
    }),
    async backUpNow(by) {
      if (how.backup === 'alreadyRunning')
        return { ok: false, error: how.backup, sentence: 'A backup is being made just now.' }
      if (how.backup === 'backupFailed')
        return { ok: false, error: how.backup, sentence: 'The disk is full.' }
      const line = { name: `brumal-${list.length}.db`, at: world.now(), bytes: 4_500_000 }
      list.unshift(line)
      world.done('backedUp', by, line.name)
      return { ok: true, value: line }
    },
  }
}
