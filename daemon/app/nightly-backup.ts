import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { dailyDue } from '../../shared/time/due.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Backups } from '../ports/keeping.ts'
import type { Log } from '../ports/log.ts'
import type { Outcome } from '../ports/outcome.ts'
import { openBackupList } from './backup-list.ts'
import { type OnStage, stageVoice } from './stage-voice.ts'
import { say } from '../../shared/words/say.ts'

export interface NightlyBackup {
  /** Looks what there is already. */
  start(): void
  /** Makes one where it is due. */
  check(): void
  now(): KeepingNow['backups']
  byHand(by: string): Promise<Outcome<BackupLine, 'alreadyRunning' | 'backupFailed'>>
  /** Begins none any more, and gives up the one in hand: what is half made is no backup. */
  stop(): Promise<void>
  /** One is being made, or it is being found out whether one is due. */
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
/** One that is given up ends within about three seconds; a stop waits for no disk that is slower than that. */
const stopWithin: Millis = seconds(4)
/** The folder is looked at again after this at the latest: copies come and go by other hands, too. */
const listFreshFor: Millis = hours(1)
/** And after this where somebody wants to know, or something depends on it. */
const listFreshForNow: Millis = minutes(1)

const copying = say('A backup is being made just now.')

/** Makes the nightly copy of everything, at most one at a time, and says when it fails (N1). */
export function openNightlyBackup(world: NightlyBackupWorld): NightlyBackup {
  const { backups, clock, timer, log, settings } = world
  const voice = stageVoice('backup', world.onStage)
  const list = openBackupList(world)
  let running: {
    readonly since: Millis
    readonly done: Promise<unknown>
    readonly stop: AbortController
  } | null = null
  let stage: 'open' | 'stopping' | 'left' = 'open'
  let madeAt: Instant | null = null
  let failedAt: Millis | null = null
  let sentence: string | null = null
  let failedSince: Instant | null = null
  let isSilenceTold = false

  /** A stamp from the future was written while the clock was wrong: it says nothing of when. */
  function lastDoneAt(now: Instant): Instant | null {
    const known = [...list.known().map(({ at }) => at), ...(madeAt === null ? [] : [madeAt])]
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
    if (stage !== 'open') return say('Brumal is stopping.')
    if (!world.isOnDisk()) return say('The disk takes nothing just now, so there is nothing whole to copy.')
    const { isTrusted, sentence: why } = world.clockNow()
    return isTrusted ? null : (why ?? say('The clock of this computer is not to be trusted just now.'))
  }

  function fail(why: string): void {
    if (failedSince === null) log.error({ folder: backups.folder }, why)
    failedSince ??= clock.now()
    sentence = why
    if (settings.isOn) voice(false, why)
  }

  /** Somebody else may have made one since it failed. */
  function isMended(): boolean {
    const done = lastDoneAt(clock.now())
    return failedSince === null || (done !== null && done > failedSince)
  }

  function succeed(text: string): void {
    failedSince = null
    failedAt = null
    isSilenceTold = false
    voice(true, text)
  }

  async function make(
    by: string,
    begun: Millis,
    signal: AbortSignal,
  ): Promise<Outcome<BackupLine, 'backupFailed'>> {
    const at = clock.now()
    let line: BackupLine
    try {
      line = await backups.make(at, signal)
    } catch (cause) {
      running = null
      list.forget()
      const why = sentenceOf(cause)
      failedAt = clock.uptime()
      // One that was given up for the stop is no failure of the folder; the next start makes up for it.
      if (stage === 'open') fail(why)
      return { ok: false, error: 'backupFailed', sentence: why }
    }
    madeAt = at
    list.forget()
    if (stage === 'open') await list.look(listFreshForNow)
    running = null
    const took = ((clock.uptime() - begun) / 1000).toFixed(1)
    sentence = say('{bytes} in {took} s, looked through: whole.', { bytes: bytesWords(line.bytes), took })
    // After the end nobody writes it down any more.
    if (stage !== 'left') {
      succeed(sentence)
      world.note({ at: clock.now(), kind: 'backedUp', by, text: sentence })
    }
    return { ok: true, value: line }
  }

  function begin(by: string): Promise<Outcome<BackupLine, 'backupFailed'>> {
    const since = clock.uptime()
    const stop = new AbortController()
    const done = Promise.resolve().then(() => make(by, since, stop.signal))
    running = { since, done, stop }
    return done
  }

  /** By what the folder has said. */
  function settle(): void {
    if (running !== null || obstacle() !== null) return
    if (list.isSilent()) {
      isSilenceTold = true
      fail(say('The folder of the backups, {folder}, does not answer.', { folder: backups.folder }))
    } else if (dueNow().isDue) {
      begin('brumal').catch((cause: unknown) => {
        log.error({ err: cause }, 'A backup was made, but could not be written down.')
      })
    } else if (isSilenceTold) {
      sentence = say('The folder of the backups answers again.')
      succeed(sentence)
    } else if (isMended()) succeed(say('The newest backup is there.'))
  }

  return {
    isRunning: () => running !== null || list.isLooking(),
    start: () => void list.look(listFreshForNow),
    check() {
      if (!settings.isOn) voice(true, say('Backups are off.'))
      if (running !== null) {
        if (clock.uptime() - running.since < longestRun) return
        const why = say('The backup to {folder} has not come to an end for an hour.', {
          folder: backups.folder,
        })
        fail(why)
        running.stop.abort(new Error(why))
        return
      }
      if (!settings.isOn || obstacle() !== null) return
      const freshFor = dueNow().isDue || failedSince !== null ? listFreshForNow : listFreshFor
      if (list.isFresh(freshFor) && !list.isLooking()) settle()
      else
        list
          .look(freshFor)
          .then(settle)
          .catch((cause: unknown) => {
            log.error({ err: cause }, 'What the folder of the backups said could not be acted upon.')
          })
    },
    now() {
      if (stage === 'open') void list.look(listFreshForNow)
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
        list: [...list.known()],
      }
    },
    byHand(by) {
      if (running !== null) return Promise.resolve({ ok: false, error: 'alreadyRunning', sentence: copying })
      const why = obstacle()
      return why === null ? begin(by) : Promise.resolve({ ok: false, error: 'backupFailed', sentence: why })
    },
    async stop() {
      stage = 'stopping'
      list.stop()
      if (running !== null) {
        const { done, stop } = running
        stop.abort(new Error(say('Brumal is stopping.')))
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
  if (said === '') return say('The backup failed.')
  return /[.!?]$/.test(said) ? said : `${said}.`
}
