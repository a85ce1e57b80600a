import { minutes, seconds } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { localParts } from '../../shared/time/wall.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Backups, DiskSpace } from '../ports/keeping.ts'
import type { Log } from '../ports/log.ts'
import type { Store, StoreSize } from '../ports/store.ts'
import { watchDisk } from './disk-watch.ts'
import { openNightlyBackup } from './nightly-backup.ts'
import type { OnStage } from './stage-voice.ts'
import { openThinning } from './thinning.ts'
import { say, sayCount } from '../../shared/words/say.ts'

export interface Keeping {
  start(): void
  /** Gives up a backup in hand, and waits less than 5 s for its end: what is half made is no backup. */
  stop(): Promise<void>
  /** Looks whether anything is to be done; called by its own timer once a minute. */
  check(): void
  keeping(): KeepingNow
  backUpNow: Desk['backUpNow']
}

export interface KeepingWorld {
  readonly store: Pick<Store, 'thin' | 'size'>
  readonly backups: Backups
  readonly disk: DiskSpace
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
  /** Time zone of the household. */
  readonly zone: () => string
  readonly settings: {
    readonly backup: { readonly isOn: boolean; readonly at: string; readonly keep: number }
    readonly store: { readonly keepReadings: Millis; readonly budget: number; readonly freeAtLeast: number }
  }
  readonly onStage: OnStage<'backup' | 'disk'>
  readonly note: (entry: JournalEntry) => void
  /** False while the store takes nothing and what comes in is in memory only (N2). */
  readonly isOnDisk: () => boolean
  /** Readings that wait in memory for the disk. */
  readonly waiting: () => number
  readonly clockNow: () => KeepingNow['clock']
  /** Where something is passed on to a broker elsewhere: how that stands. */
  readonly upstream?: () => KeepingNow['upstream']
}

const every: Millis = minutes(1)
/** Whoever asks how everything is does not make the store count each time (X3). */
const sizeFreshFor: Millis = seconds(10)

/** Backups, room on the disk, and the thinning of what is old: nothing that is kept goes wrong in silence (N1). */
export function openKeeping(world: KeepingWorld): Keeping {
  const { store, clock, timer, log, settings } = world
  const backup = openNightlyBackup({ ...world, settings: settings.backup })
  const disk = watchDisk({ ...world, freeAtLeast: settings.store.freeAtLeast })
  const thinning = openThinning({ ...world, settings: settings.store })
  let turn: { cancel(): void } | null = null
  let isStopped = false
  let hasFailed = false
  let sized: { readonly at: Millis; readonly size: StoreSize } | null = null

  function check(): void {
    if (isStopped) return
    try {
      disk.check()
      backup.check()
      // By a clock that runs ahead a winter would be old; and a disk that takes nothing lets go of nothing.
      if (!backup.isRunning() && world.isOnDisk() && world.clockNow().isTrusted) thinning.check()
      hasFailed = false
    } catch (cause) {
      if (!hasFailed)
        log.error({ err: cause }, 'Looking after what is kept failed; it is tried every minute.')
      hasFailed = true
    }
  }

  function next(): void {
    check()
    turn = timer.after(every, next)
  }

  /** The newest that is known: a store that cannot be read had that size when it last could. */
  function size(): StoreSize {
    const at = clock.uptime()
    if (sized !== null && at - sized.at < sizeFreshFor) return sized.size
    try {
      sized = { at, size: store.size() }
    } catch (cause) {
      log.debug({ err: cause }, say('The size of the store cannot be read.'))
      sized = { at, size: sized?.size ?? nothing }
    }
    return sized.size
  }

  function database(): KeepingNow['database'] {
    const { fileBytes, everyReadingFrom, hourlyFrom } = size()
    const [isOnDisk, waiting] = [world.isOnDisk(), world.waiting()]
    const dateOf = (at: Instant) => dateWords(at, world.zone())
    const kept = [
      ...(everyReadingFrom === null
        ? []
        : [say('every reading since {date}', { date: dateOf(everyReadingFrom) })]),
      ...(hourlyFrom === null ? [] : [say('hourly values since {date}', { date: dateOf(hourlyFrom) })]),
    ]
    const sentence = isOnDisk
      ? `${bytesWords(fileBytes)}: ${kept.length === 0 ? say('no readings yet') : kept.join(', ')}.`
      : sayCount(
          waiting,
          'The disk takes nothing; {n} reading waits in memory for it.',
          'The disk takes nothing; {n} readings wait in memory for it.',
        )
    return { bytes: fileBytes, isOnDisk, waiting, everyReadingFrom, hourlyFrom, sentence }
  }

  return {
    start() {
      disk.check()
      backup.start()
      // The start itself has enough to do, and one that fails again and again must not copy everything each time.
      turn = timer.after(every, next)
    },
    async stop() {
      isStopped = true
      turn?.cancel()
      thinning.stop()
      await backup.stop()
    },
    check,
    keeping() {
      const upstream = world.upstream?.()
      return {
        database: database(),
        disk: disk.room(),
        backups: backup.now(),
        clock: world.clockNow(),
        ...(upstream === undefined ? {} : { upstream }),
      }
    },
    backUpNow: backup.byHand,
  }
}

const nothing: StoreSize = { fileBytes: 0, usedBytes: 0, everyReadingFrom: null, hourlyFrom: null }

/** `13 Jan 2025`. */
function dateWords(at: Instant, zone: string): string {
  const { day, month, year } = localParts(at, zone)
  return `${day} ${months[month - 1] ?? ''} ${year}`
}

const months = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ')
