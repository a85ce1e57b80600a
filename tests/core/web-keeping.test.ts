import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import {
  backupsWords,
  comesWords,
  failureWords,
  restoreLine,
  roomWords,
} from '../../web/words/keeping-words.ts'
import { createTell } from '../../web/words/tell.ts'

describe('a size in words', () => {
  test.each([
    [0, '0 B'],
    [999, '999 B'],
    [1000, '1.0 kB'],
    [12_345_678, '12.3 MB'],
    [99_949_999, '99.9 MB'],
    [99_950_000, '100 MB'],
    [150_000_000, '150 MB'],
    [999_499_999, '999 MB'],
    [999_500_000, '1.0 GB'],
    [2_000_000_000, '2.0 GB'],
    [31e12, '31.0 TB'],
    [5e15, '5000 TB'],
  ])('%d bytes are %s', (bytes, words) => expect(bytesWords(bytes)).toBe(words))

  test('is never a thousand of a unit that has a next one, and never off by more than a twentieth', () => {
    const perUnit: Readonly<Record<string, number>> = { B: 1, kB: 1e3, MB: 1e6, GB: 1e9, TB: 1e12 }
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 999e12 }), (bytes) => {
        const [figure, unit = ''] = bytesWords(bytes).split(' ')
        expect(Number(figure)).toBeLessThan(1000)
        expect(Math.abs((Number(figure) * (perUnit[unit] ?? 0)) / bytes - 1)).toBeLessThan(0.05)
      }),
    )
  })
})

const zone = 'Europe/Vienna'
/** 22:00 in Vienna, a Tuesday. */
const now = instant(Date.parse('2026-11-24T21:00Z'))
const tell = createTell('en-GB')
const when = { now, zone, tell }

describe('when something comes, in words', () => {
  test.each([
    [0, 'within a minute'],
    [minutes(1) - 1, 'within a minute'],
    [minutes(1), 'tonight at 22:01'],
    [hours(5.5), 'tonight at 03:30'],
    [hours(8) - 1, 'tonight at 05:59'],
    [hours(8), 'tomorrow at 06:00'],
    [hours(21.5), 'tomorrow at 19:30'],
    [days(1) - minutes(1), 'tonight at 21:59'],
    [days(1), 'Wed 25 Nov, 22:00'],
  ])('in %d ms: %s', (ms, words) => expect(comesWords(later(now, ms), when)).toBe(words))

  test('by day, what comes the same day is today', () => {
    const noon = later(now, -hours(10))
    expect(comesWords(later(noon, hours(2)), { ...when, now: noon })).toBe('today at 14:00')
  })
})

const keeping = (
  backups: Partial<KeepingNow['backups']>,
  more: Partial<Pick<KeepingNow, 'clock'>> = {},
): KeepingNow => ({
  database: { bytes: 1, isOnDisk: true, waiting: 0, everyReadingFrom: null, hourlyFrom: null, sentence: '' },
  disk: null,
  backups: {
    isOn: true,
    folder: '/x',
    at: '03:30',
    keep: 14,
    isRunning: false,
    sentence: null,
    failedSince: null,
    nextAt: later(now, hours(5.5)),
    list: [{ name: 'brumal-20261124T023000Z.db', at: now, bytes: 1 }],
    ...backups,
  },
  clock: { isTrusted: true, sentence: null },
  ...more,
})

describe('how backups are made, in words', () => {
  test.each<[string, KeepingNow]>([
    ['Every night at 03:30; the newest 14 stay. The next comes tonight at 03:30.', keeping({})],
    [
      'Every night at 03:30; only the newest stays. One is being made just now.',
      keeping({ keep: 1, isRunning: true }),
    ],
    ['No backup yet; the first comes tonight at 03:30.', keeping({ list: [] })],
    ['Nightly backups are off (backup.isOn in the settings).', keeping({ isOn: false, nextAt: null })],
    [
      'No backup yet, and none comes while the clock is not to be trusted.',
      keeping({ nextAt: null, list: [] }, { clock: { isTrusted: false, sentence: null } }),
    ],
    [
      'Every night at 03:30; the newest 14 stay. None comes while the disk takes nothing.',
      keeping({ nextAt: null }),
    ],
    ['Every night at 03:30; the newest 14 stay.', keeping({ failedSince: now })],
    ['Every night at 03:30; the newest 14 stay.', keeping({ failedSince: now, list: [] })],
  ])('%s', (words, given) => expect(backupsWords(given, when)).toBe(words))

  test('N1: a failure says since when, why, and when it is tried again', () => {
    expect(failureWords(keeping({}), when)).toBeNull()
    const failed = { failedSince: later(now, -days(2)), sentence: 'The disk is full.' }
    expect(failureWords(keeping({ ...failed, nextAt: later(now, minutes(20)) }), when)).toBe(
      'Backups fail since Sun 22 Nov, 22:00. The disk is full. It is tried again tonight at 22:20.',
    )
    expect(failureWords(keeping({ ...failed, nextAt: null }), when)).toBe(
      'Backups fail since Sun 22 Nov, 22:00. The disk is full.',
    )
  })

  test('room is told, or that it is not known', () => {
    expect(roomWords({ freeBytes: 150e6, totalBytes: 31e9 })).toBe(
      '150 MB of 31.0 GB are free on the disk of the data.',
    )
    expect(roomWords(null)).toBe('This computer does not say how much room its disk has.')
  })
})

// POSIX.1-2017, Shell Command Language §2.2.2: nothing is special between single quotes but their end.
test('the line that restores is one argument to a shell, whatever the folder is called', () => {
  const name = 'brumal-20261124T023000Z.db'
  expect(restoreLine('/mnt/disk/', name)).toBe(`npm start -- restore /mnt/disk/${name} --replace`)
  expect(restoreLine("/mnt/Robin's disk", name)).toBe(
    `npm start -- restore '/mnt/Robin'\\''s disk/${name}' --replace`,
  )
  expect(restoreLine('/mnt/$(x);y', name)).toBe(`npm start -- restore '/mnt/$(x);y/${name}' --replace`)
})
