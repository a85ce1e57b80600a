import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { JournalLine } from '../../schemas/api.ts'
import { type BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import type { Person } from '../../schemas/person.ts'
import type { Instant } from '../../schemas/units.ts'
import { dailyDue } from '../../shared/time/due.ts'
import { ok, problem, type Reply } from './web-fixture-reply.ts'
import type { Scene } from './web-fixture-scene.ts'

const zone = 'Europe/Vienna'
const folder = '/mnt/second-disk/brumal-backups'
const noFolder =
  'The disk cannot be read or written. (while backing up to /mnt/second-disk/brumal-backups: EIO: i/o error, mkdir).'

/** Answers whoever is signed in about how everything is kept; null for what is not its. */
export function fixtureKeeping(world: {
  readonly scene: Scene
  readonly now: () => Instant
  readonly me: () => Person
  readonly onBackup: (line: Omit<JournalLine, 'id'>) => void
}): (method: string, parts: readonly string[]) => Reply | null {
  const { scene, now, me } = world
  const isEmpty = scene === 'empty' || scene === 'first'
  const isOn = scene !== 'unsure'
  const list = isEmpty || !isOn ? [] : inventedBackups(scene === 'unreached' ? later(now(), -days(3)) : now())
  let failedSince = scene === 'unreached' ? later(now(), -days(2) - minutes(7)) : null
  let sentence = failedSince === null ? null : noFolder

  const keeping = (): KeepingNow =>
    KeepingNow.parse({
      database: isEmpty
        ? {
            bytes: 262_144,
            isOnDisk: true,
            waiting: 0,
            everyReadingFrom: null,
            hourlyFrom: null,
            sentence: '262 kB: no readings yet.',
          }
        : {
            bytes: 214_302_720,
            isOnDisk: scene !== 'lost',
            waiting: scene === 'lost' ? 1312 : 0,
            everyReadingFrom: later(now(), -days(730)),
            hourlyFrom: later(now(), -days(1100)),
            sentence:
              scene === 'lost'
                ? 'The disk takes nothing; 1312 readings wait in memory for it.'
                : '214 MB: every reading since 13 Jan 2025, hourly values since 9 Jan 2024.',
          },
      disk: isOn ? { freeBytes: 18_240_000_000, totalBytes: 31_268_000_000 } : null,
      backups: {
        isOn,
        folder,
        at: '03:30',
        keep: 14,
        isRunning: false,
        sentence,
        failedSince,
        nextAt: !isOn
          ? null
          : failedSince !== null
            ? later(now(), minutes(41))
            : dailyDue(now(), { zone, at: '03:30' }, list[0]?.at ?? now()).nextAt,
        list,
      },
      clock: { isTrusted: true, sentence: null },
    })

  return (method, [room = '']) => {
    if (room !== 'keeping' && room !== 'backups') return null
    if (me().role !== 'keeper') return problem(403, 'keeperOnly', 'Only a keeper may do this.')
    if (room === 'keeping') return ok(keeping())
    if (method !== 'POST') return null
    if (scene === 'unreached') {
      failedSince ??= now()
      return problem(503, 'backupFailed', noFolder)
    }
    const line = lineAt(now(), 201_842_688)
    list.unshift(line)
    sentence = '202 MB in 3.1 s, looked through: whole.'
    world.onBackup({ at: now(), kind: 'backedUp', by: me().name, text: sentence })
    return ok(line)
  }
}

const lineAt = (at: Instant, bytes: number): BackupLine => ({
  name: `brumal-${new Date(at).toISOString().replace(/[-:]|\.\d+/g, '')}.db`,
  at,
  bytes,
})

/** Fourteen nights up to the last, each copy a little smaller than the one after it. */
function inventedBackups(now: Instant): BackupLine[] {
  const last = later(dailyDue(now, { zone, at: '03:30' }, now).nextAt, -hours(24))
  return Array.from({ length: 14 }, (_, i) => lineAt(instant(last - i * days(1)), 201_801_728 - i * 286_720))
}
