import { instant } from '../../schemas/amounts.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Tell } from './tell.ts'

/** Whoever waits for something: what time it is, where, and how times are told. */
export interface When {
  readonly now: number
  readonly zone: string
  readonly tell: Pick<Tell, 'clock' | 'when'>
}

/** `tonight at 03:30`, `today at 14:00`, `tomorrow at 14:00`, `within a minute`, `Sat 28 Nov, 03:30`. */
export function comesWords(at: number, { now, zone, tell }: When): string {
  if (at - now < minuteMs) return 'within a minute'
  if (at - now >= dayMs) return tell.when(at, now, zone)
  const clock = tell.clock(at, zone)
  const hour = Number(clock.slice(0, 2))
  if (hour < nightEnds || hour >= nightBegins) return `tonight at ${clock}`
  const isToday = localDate(instant(at), zone) === localDate(instant(now), zone)
  return `${isToday ? 'today' : 'tomorrow'} at ${clock}`
}

/** How backups are made and when the next one comes, as one or two sentences. */
export function backupsWords({ backups, clock }: KeepingNow, when: When): string {
  const { isOn, isRunning, at, keep, nextAt, list } = backups
  if (!isOn) return 'Nightly backups are off (backup.isOn in the settings).'
  const plan = `Every night at ${at}; ${keep === 1 ? 'only the newest stays' : `the newest ${keep} stay`}.`
  if (isRunning) return `${plan} One is being made just now.`
  if (nextAt === null) {
    const why = clock.isTrusted ? 'the disk takes nothing' : 'the clock is not to be trusted'
    return list.length === 0
      ? `No backup yet, and none comes while ${why}.`
      : `${plan} None comes while ${why}.`
  }
  if (list.length === 0 && backups.failedSince === null)
    return `No backup yet; the first comes ${comesWords(nextAt, when)}.`
  return backups.failedSince === null ? `${plan} The next comes ${comesWords(nextAt, when)}.` : plan
}

/** What went wrong, since when, and when it is tried again; null where nothing has. */
export function failureWords({ backups }: KeepingNow, when: When): string | null {
  if (backups.failedSince === null) return null
  const since = when.tell.when(backups.failedSince, when.now, when.zone)
  const again = backups.nextAt === null ? '' : ` It is tried again ${comesWords(backups.nextAt, when)}.`
  return `Backups fail since ${since}. ${backups.sentence ?? ''}${again}`
}

/** `18.2 GB of 31.0 GB are free on the disk of the data.` */
export const roomWords = (disk: KeepingNow['disk']): string =>
  disk === null
    ? 'This computer does not say how much room its disk has.'
    : `${bytesWords(disk.freeBytes)} of ${bytesWords(disk.totalBytes)} are free on the disk of the data.`

/** The line that puts a backup back, for a shell. */
export function restoreLine(folder: string, name: string): string {
  const file = `${folder.replace(/[/\\]$/, '')}/${name}`
  const quoted = /^[\w./:@-]+$/.test(file) ? file : `'${file.replaceAll("'", `'\\''`)}'`
  return `npm start -- restore ${quoted} --replace`
}

const minuteMs = 60_000
const dayMs = 86_400_000
/** Hours that people call night when they ask when something happens; common practice, no source. */
const [nightBegins, nightEnds] = [20, 6]
