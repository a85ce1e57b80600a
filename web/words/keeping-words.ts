import { instant } from '../../schemas/amounts.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { localDate, localParts } from '../../shared/time/wall.ts'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** Whoever waits for something: what time it is, where, and how times are told. */
export interface When {
  readonly now: number
  readonly zone: string
  readonly tell: Pick<Tell, 'clock' | 'when'>
}

/** `tonight at 03:30`, `today at 14:00`, `tomorrow at 14:00`, `within a minute`, `Sat 28 Nov, 03:30`. */
export function comesWords(at: number, { now, zone, tell }: When): string {
  if (at - now < minuteMs) return say('within a minute')
  if (at - now >= dayMs) return tell.when(at, now, zone)
  const clock = tell.clock(at, zone)
  const { hour } = localParts(instant(at), zone)
  if (hour < nightEnds || hour >= nightBegins) return say('tonight at {clock}', { clock })
  const isToday = localDate(instant(at), zone) === localDate(instant(now), zone)
  return say('{part} at {clock}', { part: isToday ? say('today') : say('tomorrow'), clock })
}

/** How backups are made and when the next one comes, as one or two sentences. */
export function backupsWords({ backups, clock }: KeepingNow, when: When): string {
  const { isOn, isRunning, at, keep, nextAt, list } = backups
  if (!isOn) return say('Nightly backups are off (backup.isOn in the settings).')
  const plan = say('Every night at {at}; {part}.', {
    at: inReadersUnits(at),
    part: keep === 1 ? say('only the newest stays') : say('the newest {keep} stay', { keep }),
  })
  if (isRunning) return say('{plan} One is being made just now.', { plan })
  if (nextAt === null) {
    const why = clock.isTrusted ? say('the disk takes nothing') : say('the clock is not to be trusted')
    return list.length === 0
      ? say('No backup yet, and none comes while {why}.', { why })
      : say('{plan} None comes while {why}.', { plan, why })
  }
  if (list.length === 0 && backups.failedSince === null)
    return say('No backup yet; the first comes {comes}.', { comes: comesWords(nextAt, when) })
  return backups.failedSince === null
    ? say('{plan} The next comes {comes}.', { plan, comes: comesWords(nextAt, when) })
    : plan
}

/** What went wrong, since when, and when it is tried again; null where nothing has. */
export function failureWords({ backups }: KeepingNow, when: When): string | null {
  if (backups.failedSince === null) return null
  const since = when.tell.when(backups.failedSince, when.now, when.zone)
  const again =
    backups.nextAt === null
      ? ''
      : say(' It is tried again {comes}.', { comes: comesWords(backups.nextAt, when) })
  return say('Backups fail since {since}. {part}{again}', { since, part: backups.sentence ?? '', again })
}

/** `18.2 GB of 31.0 GB are free on the disk of the data.` */
export const roomWords = (disk: KeepingNow['disk']): string =>
  disk === null
    ? say('This computer does not say how much room its disk has.')
    : say('{bytes} of {bytes2} are free on the disk of the data.', {
        bytes: bytesWords(disk.freeBytes),
        bytes2: bytesWords(disk.totalBytes),
      })

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
