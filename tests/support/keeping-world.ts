import { join } from 'node:path'
import { type Keeping, type KeepingWorld, openKeeping } from '../../daemon/app/keeping.ts'
import type { DiskSpace } from '../../daemon/ports/keeping.ts'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import { sqliteBackups } from '../../daemon/sqlite/backups.ts'
import { doCopyJob } from '../../daemon/sqlite/copy-jobs.ts'
import { days, instant } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'
import { simulatedTime } from './simulated-time.ts'
import { aReading, batchOf, openStore, temporaryFolder, zonesByHand } from './store-world.ts'
import { until } from './until.ts'

type Settings = KeepingWorld['settings']

/** Keeping over a real store and real copies, at simulated times, in Vienna. */
export function keepingWorld(
  start: Instant,
  given: {
    readonly backup?: Partial<Settings['backup']>
    readonly store?: Partial<Settings['store']>
    readonly zone?: string
  } = {},
) {
  const folder = temporaryFolder()
  const data = join(folder.path, 'data')
  const copies = join(folder.path, 'copies')
  const { db, store } = openStore(data)
  const time = simulatedTime(start)
  const stages: string[] = []
  const journal: JournalEntry[] = []
  const complaints: string[] = []
  const settings: Settings = {
    backup: { isOn: true, at: '03:30', keep: 14, ...given.backup },
    store: { keepReadings: days(730), budget: 2e9, freeAtLeast: 200e6, ...given.store },
  }
  const complain = (_: object, sentence: string) => void complaints.push(sentence)
  /** What a test changes on the way. */
  const now = {
    // In this process: that it is done apart is another test's.
    backups: sqliteBackups(data, { folder: copies, keep: settings.backup.keep, ownDisk: false }, doCopyJob),
    /** Questions to the folder that it has not answered. */
    asking: 0,
    disk: { freeBytes: 5e9, totalBytes: 31e9 } as ReturnType<DiskSpace>,
    store: { thin: store.thin, size: store.size } as KeepingWorld['store'],
    isOnDisk: true,
    isTrusted: true,
    soon: time.timer.soon,
  }
  const open = () =>
    openKeeping({
      store: { thin: (before, atMost) => now.store.thin(before, atMost), size: () => now.store.size() },
      backups: {
        folder: copies,
        make: (at, signal) => now.backups.make(at, signal),
        list(at, signal) {
          now.asking += 1
          return now.backups.list(at, signal).finally(() => (now.asking -= 1))
        },
      },
      disk: () => now.disk,
      clock: time.clock,
      timer: { ...time.timer, soon: (act) => now.soon(act) },
      log: { debug() {}, info() {}, warn: complain, error: complain },
      zone: () => given.zone ?? 'Europe/Vienna',
      settings,
      onStage: (stage, isWell, text) => void stages.push(`${stage} ${isWell ? 'well' : 'ill'}: ${text}`),
      note: (entry) => void journal.push(entry),
      isOnDisk: () => now.isOnDisk,
      waiting: () => (now.isOnDisk ? 0 : 3),
      clockNow: () => ({
        isTrusted: now.isTrusted,
        sentence: now.isTrusted ? null : 'The clock went back by two years.',
      }),
    })
  return {
    now,
    open,
    time,
    store,
    db,
    data,
    copies,
    stages,
    journal,
    complaints,
    /** What was said of one stage. */
    saidOf: (stage: string) => stages.filter((line) => line.startsWith(`${stage} `)),
    /** Readings every 5 min from `from` on, folded into their hours. */
    fill(from: Instant, count: number) {
      const readings: JudgedReading[] = Array.from({ length: count }, (_, i) =>
        aReading(from + i * 300_000, 5 + Math.sin(i / 20)),
      )
      store.commit(batchOf(...readings))
      store.fold(instant(from + (count + 24) * 300_000), zonesByHand, 'folded')
    },
    end() {
      store.close()
      folder.remove()
    },
  }
}

/** A copy, and a look at the copies, take real time. */
const isBackedUp = (world: KeepingForTests, keeping: Keeping): Promise<void> =>
  until(() => !keeping.keeping().backups.isRunning && world.now.asking === 0, 'the end of the backup')

/** For what needs none: nobody gives it up. */
export const never = new AbortController().signal

/** Minute by minute, waiting for every copy on the way. */
export async function passMinutes(world: KeepingForTests, keeping: Keeping, ms: number): Promise<void> {
  for (let passed = 0; passed < ms; passed += 60_000) {
    await world.time.pass(60_000)
    await isBackedUp(world, keeping)
  }
}

/** 22:00 in Vienna. */
export const evening = instant(Date.parse('2026-11-24T21:00Z'))

export type KeepingForTests = ReturnType<typeof keepingWorld>
