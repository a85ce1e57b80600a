import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { dailyDue } from '../../shared/time/due.ts'

const utc = (text: string) => instant(Date.parse(text))
const vienna = { zone: 'Europe/Vienna', at: '03:30' }
const isoOf = (at: Instant) => new Date(at).toISOString().slice(0, 16)

/** Everything that is done from `from` to `to` where it is looked at every `step` ms and done at once. */
function doneBetween(from: Instant, to: Instant, daily: typeof vienna, step = 60_000): Instant[] {
  const done: Instant[] = []
  for (let now = from; now <= to; now = later(now, step))
    if (dailyDue(now, daily, done.at(-1) ?? from).isDue) done.push(now)
  return done
}

describe('what is done once a day', () => {
  const turn = utc('2026-11-25T02:30Z')

  test('is due from its minute on, not before, and no more once it is done', () => {
    const before = later(turn, -1)
    expect(dailyDue(before, vienna, later(turn, -hours(23)))).toEqual({ isDue: false, nextAt: turn })
    expect(dailyDue(turn, vienna, before)).toEqual({ isDue: true, nextAt: later(turn, hours(24)) })
    expect(dailyDue(later(turn, 1), vienna, turn)).toEqual({ isDue: false, nextAt: later(turn, hours(24)) })
  })

  test('is due at once where it was never done', () => {
    expect(dailyDue(later(turn, hours(9)), vienna, null).isDue).toBe(true)
  })

  test('is made up for by one, however many were missed', () => {
    const now = later(turn, hours(24 * 9))
    expect(dailyDue(now, vienna, later(turn, -1)).isDue).toBe(true)
    expect(dailyDue(later(now, 1), vienna, now)).toEqual({ isDue: false, nextAt: later(now, hours(24)) })
  })

  test('at midnight belongs to the day that begins', () => {
    const midnight = { zone: 'Europe/Vienna', at: '00:00' }
    expect(dailyDue(utc('2026-11-24T22:59Z'), midnight, utc('2026-11-24T00:00Z')).isDue).toBe(false)
    expect(dailyDue(utc('2026-11-24T23:00Z'), midnight, utc('2026-11-24T00:00Z')).isDue).toBe(true)
  })
})

// Changes of clocks: IANA tzdata 2025b, Europe/Vienna and Pacific/Auckland.
describe('in the nights in which clocks change', () => {
  test.each([
    // Vienna, 29 March 2026: 02:00 is 03:00; 02:30 does not exist and is taken at the first instant after.
    [
      'Europe/Vienna',
      '02:30',
      '2026-03-28T12:00Z',
      '2026-03-30T12:00Z',
      ['2026-03-29T01:00', '2026-03-30T00:30'],
    ],
    [
      'Europe/Vienna',
      '03:30',
      '2026-03-28T12:00Z',
      '2026-03-30T12:00Z',
      ['2026-03-29T01:30', '2026-03-30T01:30'],
    ],
    // Vienna, 25 October 2026: 03:00 is 02:00 again; 02:30 comes at 00:30 and 01:30 UTC.
    [
      'Europe/Vienna',
      '02:30',
      '2026-10-24T12:00Z',
      '2026-10-26T12:00Z',
      ['2026-10-25T00:30', '2026-10-26T01:30'],
    ],
    // Auckland, 27 September 2026: 02:00 is 03:00.
    [
      'Pacific/Auckland',
      '02:30',
      '2026-09-26T00:00Z',
      '2026-09-28T00:00Z',
      ['2026-09-26T14:00', '2026-09-27T13:30'],
    ],
    // Auckland, 5 April 2026: 03:00 is 02:00 again; 02:30 comes at 13:30 and 14:30 UTC.
    [
      'Pacific/Auckland',
      '02:30',
      '2026-04-04T00:00Z',
      '2026-04-06T00:00Z',
      ['2026-04-04T13:30', '2026-04-05T14:30'],
    ],
  ])('%s at %s is done once a night: %s to %s', (zone, at, from, to, done) => {
    expect(doneBetween(utc(from), utc(to), { zone, at }).map(isoOf)).toEqual(done)
  })
})

// Samoa left out 30 December 2011 (IANA tzdata): 29 December ended at 10:00 UTC, where 31 December began.
test('a day that a zone leaves out has its turn where it would have ended', () => {
  const apia = { zone: 'Pacific/Apia', at: '03:30' }
  expect(doneBetween(utc('2011-12-29T11:00Z'), utc('2011-12-31T11:00Z'), apia).map(isoOf)).toEqual([
    '2011-12-29T13:30',
    '2011-12-30T10:00',
    '2011-12-30T13:30',
  ])
})

const zones = [
  'Europe/Vienna',
  'Pacific/Auckland',
  'America/St_Johns',
  'Africa/Casablanca',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  'UTC',
]
const daily = fc.record({
  zone: fc.constantFrom(...zones),
  at: fc
    .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
    .map((parts) => parts.map((part) => String(part).padStart(2, '0')).join(':')),
})
const anInstant = fc.integer({ min: Date.UTC(2024, 0, 1), max: Date.UTC(2030, 0, 1) }).map(instant)

describe('for every zone, time of day and instant', () => {
  test('the next turn lies ahead, at most 25 h, and is the first instant at which it is due again', () => {
    fc.assert(
      fc.property(daily, anInstant, (job, now) => {
        const { nextAt } = dailyDue(now, job, now)
        expect(nextAt).toBeGreaterThan(now)
        expect(nextAt - now).toBeLessThanOrEqual(hours(25))
        expect(dailyDue(later(nextAt, -1), job, now).isDue).toBe(false)
        expect(dailyDue(nextAt, job, now).isDue).toBe(true)
      }),
    )
  })

  test('what is older than 25 h is due, and once done it is not', () => {
    fc.assert(
      fc.property(daily, anInstant, fc.integer({ min: 1, max: hours(24 * 400) }), (job, now, more) => {
        expect(dailyDue(now, job, later(now, -hours(25) - more)).isDue).toBe(true)
        expect(dailyDue(now, job, now).isDue).toBe(false)
      }),
    )
  })

  test('30 days have 29 to 31 turns, each on a day of its own', () => {
    fc.assert(
      fc.property(daily, anInstant, (job, from) => {
        const turns: Instant[] = []
        const end = later(from, hours(24 * 30))
        for (let at = dailyDue(from, job, from).nextAt; at <= end; at = dailyDue(at, job, at).nextAt)
          turns.push(at)
        expect(turns.length).toBeGreaterThanOrEqual(29)
        expect(turns.length).toBeLessThanOrEqual(31)
        const apart = turns.slice(1).map((at, i) => at - (turns[i] ?? 0))
        for (const ms of apart) expect(ms).toBeGreaterThanOrEqual(hours(23))
      }),
      { numRuns: 30 },
    )
  })
})
