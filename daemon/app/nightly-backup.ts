import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { dailyDue } from '../../shared/time/due.ts'
import type { Backups, Clock, Log, Outcome, Timer } from '../ports.ts'
import { type OnStage, stageVoice } from './stage-voice.ts'

export interface NightlyBackup {
  /** Makes one where it is due. */
  check(): void
  now(): KeepingNow['backups']
  byHand(by: string): Promise<Outcome<BackupLine, 'alreadyRunning' | 'backupFailed'>>
  /** Begins none any more; waits a little for one in hand. */
  stop(): Promise<void>
  isRunning(): boolean
}

export interface NightlyBackupWorld {
  readonly backups: Backups
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
  readonly zone: () => string
  readonly settings: { readonly isOn: boolean; readonly at: string; readonly keep: number }
  readonly onStage: OnStage<'backup'>
  readonly note: (entry: JournalEntry) => void
  readonly isOnDisk: () => boolean
  readonly clockNow: () => { readonly isTrusted: boolean; readonly sentence: string | null }
}

/** A folder that was not mounted may be by then; a folder that is full is not written to all night. */
const tryAgainAfter: Millis = hours(1)
/** A copy over a slow network takes minutes; a folder that has gone away answers never. */
const longestRun: Millis = hours(1)
/** A stop must not wait for a slow disk: what is half made has another name and is no backup. */
const stopWithin: Millis = seconds(5)
/** The folder is looked at again after this at the latest: copies come and go by other hands, too. */
const listFreshFor: Millis = minutes(1)

const copying = 'A backup is being made just now.'

/** Makes the nightly copy of everything, at most one at a time, and says when it fails (N1). */
export function openNightlyBackup(world: NightlyBackupWorld): NightlyBackup {
  const { backups, clock, timer, log, settings } = world
  const say = stageVoice('backup', world.onStage)
  let running: { readonly since: Millis; readonly done: Promise<unknown> } | null = null
  let stage: 'open' | 'stopping' | 'left' = 'open'
  let madeAt: Instant | null = null
  let failedAt: Millis | null = null
  let sentence: string | null = null
  let failedSince: Instant | null = null
  let listed: { readonly at: Millis; readonly list: readonly BackupLine[] } | null = null

  function list(): readonly BackupLine[] {
    const at = clock.uptime()
    if (listed !== null && at - listed.at < listFreshFor) return listed.list
    try {
      listed = { at, list: backups.list() }
    } catch (cause) {
      log.debug({ err: cause }, 'The folder of the backups cannot be read.')
      listed = { at, list: [] }
    }
    return listed.list
  }

  /** A stamp from the future was written while the clock was wrong: it says nothing of when. */
  function lastDoneAt(now: Instant): Instant | null {
    const known = [...list().map(({ at }) => at), ...(madeAt === null ? [] : [madeAt])]
    const past = known.filter((at) => at <= now)
    return past.length === 0 ? null : (Math.max(...past) as Instant)
  }

  /** Until then nothing is tried again; null where nothing stands in the way. */
  function heldUntil(): Instant | null {
    const wait = failedAt === null ? 0 : failedAt + tryAgainAfter - clock.uptime()
    return wait > 0 ? later(clock.now(), wait) : null
  }

  function dueNow(): { readonly isDue: boolean; readonly nextAt: Instant } {
    const now = clock.now()
    const { isDue, nextAt } = dailyDue(now, { zone: world.zone(), at: settings.at }, lastDoneAt(now))
    const held = heldUntil()
    if (!isDue) return { isDue, nextAt }
    return held === null ? { isDue, nextAt: now } : { isDue: false, nextAt: held }
  }

  /** Why none can be made whatever the hour; null where one can. */
  function obstacle(): string | null {
    if (stage !== 'open') return 'Brumal is stopping.'
    if (!world.isOnDisk()) return 'The disk takes nothing just now, so there is nothing whole to copy.'
    const { isTrusted, sentence: why } = world.clockNow()
    return isTrusted ? null : (why ?? 'The clock of this computer is not to be trusted just now.')
  }

  function fail(why: string): void {
    if (failedSince === null) log.error({ folder: backups.folder }, why)
    failedSince ??= clock.now()
    sentence = why
    if (settings.isOn) say(false, why)
  }

  /** Somebody else may have made one since it failed. */
  function isMended(): boolean {
    const done = lastDoneAt(clock.now())
    return failedSince === null || (done !== null && done > failedSince)
  }

  function succeed(text: string): void {
    failedSince = null
    failedAt = null
    say(true, text)
  }

  async function make(by: string, begun: Millis): Promise<Outcome<BackupLine, 'backupFailed'>> {
    const at = clock.now()
    let line: BackupLine
    try {
      line = await backups.make(at)
    } catch (cause) {
      running = null
      listed = null
      const why = sentenceOf(cause)
      failedAt = clock.uptime()
      if (stage !== 'left') fail(why)
      return { ok: false, error: 'backupFailed', sentence: why }
    }
    running = null
    listed = null
    madeAt = at
    const took = ((clock.uptime() - begun) / 1000).toFixed(1)
    sentence = `${bytesWords(line.bytes)} in ${took} s, looked through: whole.`
    // After the end nobody writes it down any more.
    if (stage !== 'left') {
      succeed(sentence)
      world.note({ at: clock.now(), kind: 'backedUp', by, text: sentence })
    }
    return { ok: true, value: line }
  }

  function begin(by: string): Promise<Outcome<BackupLine, 'backupFailed'>> {
    const since = clock.uptime()
    const done = Promise.resolve().then(() => make(by, since))
    running = { since, done }
    return done
  }

  return {
    isRunning: () => running !== null,
    check() {
      if (!settings.isOn) say(true, 'Backups are off.')
      if (running !== null) {
        if (clock.uptime() - running.since >= longestRun)
          fail(`The backup to ${backups.folder} has not come to an end for an hour.`)
        return
      }
      if (!settings.isOn || obstacle() !== null) return
      if (dueNow().isDue) {
        begin('brumal').catch((cause: unknown) => {
          log.error({ err: cause }, 'A backup was made, but could not be written down.')
        })
      } else if (isMended()) succeed('The newest backup is there.')
    },
    now() {
      const isPossible = settings.isOn && obstacle() === null
      return {
        isOn: settings.isOn,
        folder: backups.folder,
        at: settings.at,
        keep: settings.keep,
        isRunning: running !== null,
        sentence,
        failedSince,
        nextAt: isPossible ? dueNow().nextAt : null,
        list: [...list()],
      }
    },
    byHand(by) {
      if (running !== null) return Promise.resolve({ ok: false, error: 'alreadyRunning', sentence: copying })
      const why = obstacle()
      return why === null ? begin(by) : Promise.resolve({ ok: false, error: 'backupFailed', sentence: why })
    },
    async stop() {
      stage = 'stopping'
      if (running !== null) {
        const { done } = running
        await new Promise<void>((resolve) => {
          const deadline = timer.after(stopWithin, resolve)
          const ended = (): void => {
            deadline.cancel()
            resolve()
          }
          done.then(ended, ended)
        })
      }
      stage = 'left'
    },
  }
}

/** What went wrong as one sentence; a surprise brings none along. */
function sentenceOf(cause: unknown): string {
  const said = cause instanceof Error ? cause.message.trim() : ''
  if (said === '') return 'The backup failed.'
  return /[.!?]$/.test(said) ? said : `${said}.`
}
