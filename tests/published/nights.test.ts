import fc from 'fast-check'
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { instant, minutes } from '../../schemas/amounts.ts'
import { isNight, nightNamed, nightOf, nightsAtMost, nightsBetween } from '../../shared/time/night.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays, daysBetween, localDate, localParts, wallInstant } from '../../shared/time/wall.ts'

const evening = { from: '20:00', to: '08:00' }
const utc = (text: string) => instant(Date.parse(text))
const hour = 3_600_000

/** UTC instant at which the new offset starts, before → after in hours: IANA tzdata 2025b, read with zdump. */
const transitions: readonly [zone: string, at: string, before: number, after: number][] = [
  ['Pacific/Auckland', '2025-04-05T14:00Z', 13, 12],
  ['Pacific/Auckland', '2026-04-04T14:00Z', 13, 12],
  ['Pacific/Auckland', '2027-04-03T14:00Z', 13, 12],
  ['Pacific/Auckland', '2025-09-27T14:00Z', 12, 13],
  ['Pacific/Auckland', '2026-09-26T14:00Z', 12, 13],
  ['Pacific/Auckland', '2027-09-25T14:00Z', 12, 13],
  ['Australia/Sydney', '2025-04-05T16:00Z', 11, 10],
  ['Australia/Sydney', '2026-04-04T16:00Z', 11, 10],
  ['Australia/Sydney', '2027-04-03T16:00Z', 11, 10],
  ['Australia/Sydney', '2025-10-04T16:00Z', 10, 11],
  ['Australia/Sydney', '2026-10-03T16:00Z', 10, 11],
  ['Australia/Sydney', '2027-10-02T16:00Z', 10, 11],
  ['Europe/Vienna', '2025-03-30T01:00Z', 1, 2],
  ['Europe/Vienna', '2026-03-29T01:00Z', 1, 2],
  ['Europe/Vienna', '2027-03-28T01:00Z', 1, 2],
  ['Europe/Vienna', '2025-10-26T01:00Z', 2, 1],
  ['Europe/Vienna', '2026-10-25T01:00Z', 2, 1],
  ['Europe/Vienna', '2027-10-31T01:00Z', 2, 1],
  ['America/Denver', '2025-03-09T09:00Z', -7, -6],
  ['America/Denver', '2026-03-08T09:00Z', -7, -6],
  ['America/Denver', '2027-03-14T09:00Z', -7, -6],
  ['America/Denver', '2025-11-02T08:00Z', -6, -7],
  ['America/Denver', '2026-11-01T08:00Z', -6, -7],
  ['America/Denver', '2027-11-07T08:00Z', -6, -7],
  ['Africa/Casablanca', '2025-02-23T02:00Z', 1, 0],
  ['Africa/Casablanca', '2025-04-06T02:00Z', 0, 1],
  ['Africa/Casablanca', '2026-02-15T02:00Z', 1, 0],
  ['Africa/Casablanca', '2026-03-22T02:00Z', 0, 1],
  // None of 2027: by tzdata 2026c, which newer Nodes bring along, Morocco stays at UTC from 2026-09-20 on
]

const offsetHours = (ms: number, zone: string): number => {
  const p = localParts(instant(ms), zone)
  return (Date.UTC(p.year, p.month - 1, p.day, p.hour, p.minute, p.second) - ms) / hour
}

describe('clocks change at the instants that IANA tzdata 2025b publishes', () => {
  it.each(transitions)('%s at %s: %d h before, %d h from then on', (zone, at, before, after) => {
    expect(offsetHours(utc(at) - 1000, zone)).toBe(before)
    expect(offsetHours(utc(at), zone)).toBe(after)
  })
})

/** Computed from the same tzdata. */
const nights: readonly [zone: string, date: string, from: string, to: string, hours: number][] = [
  ['Pacific/Auckland', '2026-04-04', '2026-04-04T07:00Z', '2026-04-04T20:00Z', 13],
  ['Pacific/Auckland', '2026-09-26', '2026-09-26T08:00Z', '2026-09-26T19:00Z', 11],
  ['Pacific/Auckland', '2026-06-20', '2026-06-20T08:00Z', '2026-06-20T20:00Z', 12],
  ['Australia/Sydney', '2026-04-04', '2026-04-04T09:00Z', '2026-04-04T22:00Z', 13],
  ['Australia/Sydney', '2026-10-03', '2026-10-03T10:00Z', '2026-10-03T21:00Z', 11],
  ['Europe/Vienna', '2026-03-28', '2026-03-28T19:00Z', '2026-03-29T06:00Z', 11],
  ['Europe/Vienna', '2026-10-24', '2026-10-24T18:00Z', '2026-10-25T07:00Z', 13],
  ['America/Denver', '2026-03-07', '2026-03-08T03:00Z', '2026-03-08T14:00Z', 11],
  ['America/Denver', '2026-10-31', '2026-11-01T02:00Z', '2026-11-01T15:00Z', 13],
]

const lengthsBy: readonly [zone: string, long: readonly string[], short: readonly string[]][] = [
  [
    'Pacific/Auckland',
    ['2025-04-05', '2026-04-04', '2027-04-03'],
    ['2025-09-27', '2026-09-26', '2027-09-25'],
  ],
  [
    'Australia/Sydney',
    ['2025-04-05', '2026-04-04', '2027-04-03'],
    ['2025-10-04', '2026-10-03', '2027-10-02'],
  ],
  ['Europe/Vienna', ['2025-10-25', '2026-10-24', '2027-10-30'], ['2025-03-29', '2026-03-28', '2027-03-27']],
  ['America/Denver', ['2025-11-01', '2026-10-31', '2027-11-06'], ['2025-03-08', '2026-03-07', '2027-03-13']],
]

describe('a night from 20:00 to 08:00 local time', () => {
  it.each(nights)('%s %s runs from %s to %s: %d h', (zone, date, from, to, hours) => {
    const night = nightNamed(date, zone, evening)
    expect(night).toEqual({ date, from: utc(from), to: utc(to) })
    expect((night.to - night.from) / hour).toBe(hours)
  })

  it.each(lengthsBy)(
    '%s has one long and one short night in each of 2025, 2026 and 2027, and no other odd one',
    (zone, long, short) => {
      const all = nightsBetween('2025-01-01', '2027-12-31', zone, evening)
      expect(all).toHaveLength(1095)
      const lasting = (hours: number) =>
        all.filter((night) => night.to - night.from === hours * hour).map((night) => night.date)
      expect(lasting(13)).toEqual(long)
      expect(lasting(11)).toEqual(short)
      expect(lasting(12)).toHaveLength(1095 - 6)
    },
  )

  it.each([
    ['2026-12-24', 73, 721],
    ['2026-03-28', 67, 661],
    ['2026-10-24', 79, 781],
  ])('of %s holds %d instants at 10 min and %d at 1 min, both ends counted', (date, tens, ones) => {
    const { from, to } = nightNamed(date, 'Europe/Vienna', evening)
    expect((to - from) / minutes(10) + 1).toBe(tens)
    expect((to - from) / minutes(1) + 1).toBe(ones)
  })

  it('includes its first instant and leaves its end out', () => {
    const { from, to } = nightNamed('2026-10-24', 'Europe/Vienna', evening)
    expect(isNight(instant(from - 1), 'Europe/Vienna', evening)).toBe(false)
    expect(isNight(from, 'Europe/Vienna', evening)).toBe(true)
    expect(isNight(instant(to - 1), 'Europe/Vienna', evening)).toBe(true)
    expect(isNight(to, 'Europe/Vienna', evening)).toBe(false)
  })

  it('by day the last passed night is the one spoken of, until the next begins', () => {
    const zone = 'Australia/Sydney'
    const { from, to } = nightNamed('2026-10-03', zone, evening)
    const next = nightNamed('2026-10-04', zone, evening)
    expect(nightOf(instant(from - 1), zone, evening).date).toBe('2026-10-02')
    expect(nightOf(from, zone, evening).date).toBe('2026-10-03')
    expect(nightOf(to, zone, evening).date).toBe('2026-10-03')
    expect(nightOf(instant(next.from - 1), zone, evening).date).toBe('2026-10-03')
    expect(nightOf(next.from, zone, evening).date).toBe('2026-10-04')
  })
})

describe('nights of other hours', () => {
  it('a night within one date (01:00 to 06:00) is named by that date; 4 h long when 02:00 is skipped', () => {
    const small = { from: '01:00', to: '06:00' }
    expect(nightNamed('2026-03-29', 'Europe/Vienna', small)).toEqual({
      date: '2026-03-29',
      from: utc('2026-03-29T00:00Z'),
      to: utc('2026-03-29T04:00Z'),
    })
    expect(nightOf(utc('2026-03-29T23:30Z'), 'Europe/Vienna', small).date).toBe('2026-03-30')
    expect(nightOf(utc('2026-03-29T22:30Z'), 'Europe/Vienna', small).date).toBe('2026-03-29')
  })

  it('equal hours make a whole day', () => {
    const whole = { from: '12:00', to: '12:00' }
    const night = nightNamed('2026-10-24', 'Europe/Vienna', whole)
    expect((night.to - night.from) / hour).toBe(25)
    expect(isNight(utc('2026-10-25T10:59:59Z'), 'Europe/Vienna', whole)).toBe(true)
  })

  it('a night that would lie wholly in skipped time is empty', () => {
    const gone = { from: '02:10', to: '02:50' }
    const night = nightNamed('2026-03-29', 'Europe/Vienna', gone)
    expect(night.from).toBe(night.to)
    expect(isNight(night.from, 'Europe/Vienna', gone)).toBe(false)
  })

  it('a night can begin where clocks go back over midnight (St John’s, 2010-11-07 00:01 to 23:01)', () => {
    const midnight = { from: '00:00', to: '06:00' }
    const begun = utc('2010-11-07T02:30Z')
    const again = utc('2010-11-07T02:40Z') // 23:10 on the 6th, for the second time
    expect(localDate(again, 'America/St_Johns')).toBe('2010-11-06')
    expect(nightNamed('2010-11-07', 'America/St_Johns', midnight).from).toBe(begun)
    expect(nightOf(again, 'America/St_Johns', midnight).date).toBe('2010-11-07')
  })

  it('a list is in order, includes both ends, is empty backwards and bounded (X3)', () => {
    const list = nightsBetween('2026-02-27', '2026-03-01', 'Europe/Vienna', evening)
    expect(list.map((night) => night.date)).toEqual(['2026-02-27', '2026-02-28', '2026-03-01'])
    expect(nightsBetween('2026-03-01', '2026-02-27', 'Europe/Vienna', evening)).toEqual([])
    const last = addDays('2000-01-01', nightsAtMost - 1)
    expect(nightsBetween('2000-01-01', last, 'Etc/UTC', evening)).toHaveLength(nightsAtMost)
    expect(() => nightsBetween('2000-01-01', addDays(last, 1), 'Etc/UTC', evening)).toThrow(RangeError)
  })
})

describe('a wall time', () => {
  it('that the clocks skip takes the first instant after the gap', () => {
    for (const wall of ['02:00', '02:01', '02:30', '02:59', '03:00']) {
      expect(wallInstant('2026-03-29', wall, 'Europe/Vienna')).toBe(utc('2026-03-29T01:00Z'))
    }
    expect(wallInstant('2026-03-29', '01:59', 'Europe/Vienna')).toBe(utc('2026-03-29T00:59Z'))
    expect(wallInstant('2026-03-29', '03:01', 'Europe/Vienna')).toBe(utc('2026-03-29T01:01Z'))
  })

  it('that they show twice takes the earlier instant', () => {
    expect(wallInstant('2026-10-25', '02:00', 'Europe/Vienna')).toBe(utc('2026-10-25T00:00Z'))
    expect(wallInstant('2026-10-25', '02:59', 'Europe/Vienna')).toBe(utc('2026-10-25T00:59Z'))
    expect(wallInstant('2026-10-25', '03:00', 'Europe/Vienna')).toBe(utc('2026-10-25T02:00Z'))
    expect(wallInstant('2026-04-05', '02:30', 'Australia/Sydney')).toBe(utc('2026-04-04T15:30Z'))
  })

  it('on a date that was left out (Apia, 2011-12-30) takes the first instant of the next', () => {
    expect(wallInstant('2011-12-30', '12:00', 'Pacific/Apia')).toBe(utc('2011-12-30T10:00Z'))
    expect(localDate(utc('2011-12-30T10:00Z'), 'Pacific/Apia')).toBe('2011-12-31')
  })

  it('is refused when it is none', () => {
    for (const [date, wall] of [
      ['2026-02-29', '20:00'],
      ['2026-1-01', '20:00'],
      ['2026-01-01', '24:00'],
      ['2026-01-01', '8:00'],
      ['', ''],
    ] as const) {
      expect(() => wallInstant(date, wall, 'Europe/Vienna')).toThrow(RangeError)
    }
    expect(() => localDate(instant(0), 'Europe/Nowhere')).toThrow(RangeError)
  })
})

const zones = [
  ...['Pacific/Auckland', 'Pacific/Apia', 'Pacific/Chatham', 'Pacific/Kiritimati', 'Australia/Lord_Howe'],
  ...[
    'Australia/Sydney',
    'Asia/Kathmandu',
    'Asia/Tehran',
    'Asia/Beirut',
    'Africa/Casablanca',
    'Africa/Cairo',
  ],
  ...['Europe/Vienna', 'Europe/London', 'Atlantic/Azores', 'America/Santiago', 'America/Havana'],
  ...['America/St_Johns', 'America/Denver', 'America/Asuncion', 'America/Nuuk', 'Etc/UTC'],
]
const anyZone = fc.constantFrom(...zones)
const anyDate = fc
  .integer({ min: Date.UTC(1990, 0, 1) / 86_400_000, max: Date.UTC(2037, 11, 31) / 86_400_000 })
  .map((day) => new Date(day * 86_400_000).toISOString().slice(0, 10))
const anyWall = fc
  .integer({ min: 0, max: 1439 })
  .map((m) => `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`)
const anyInstant = fc.integer({ min: Date.UTC(1990, 0, 2), max: Date.UTC(2037, 11, 31) }).map(instant)

describe('luxon, written apart, agrees', () => {
  it('on the local parts of any instant in any zone', () => {
    fc.assert(
      fc.property(anyInstant, anyZone, (at, zone) => {
        const { year, month, day, hour, minute, second } = DateTime.fromMillis(at, { zone })
        expect(localParts(at, zone)).toEqual({ year, month, day, hour, minute, second })
        expect(localDate(at, zone)).toBe(DateTime.fromMillis(at, { zone }).toISODate())
      }),
      { numRuns: 2000 },
    )
  })

  it('on the instant of any wall time; on the end of the gap where it is skipped, on the earlier of two', () => {
    fc.assert(
      fc.property(anyDate, anyWall, anyZone, (date, wall, zone) => {
        const ours = wallInstant(date, wall, zone)
        const wanted = `${date} ${wall}`
        // Read back only: from text to instant, luxon itself errs at some gaps (Apia, 2011-09-24 04:00).
        const shown = (ms: number) => DateTime.fromMillis(ms, { zone }).toFormat('yyyy-MM-dd HH:mm')
        expect(shown(ours) >= wanted).toBe(true)
        expect(shown(ours - 1) < wanted).toBe(true)
        for (let quarter = 1; quarter <= 12; quarter++) {
          expect(shown(ours - quarter * 900_000)).not.toBe(wanted)
        }
      }),
      { numRuns: 3000 },
    )
  })

  it('on every wall minute of the days on which clocks change', () => {
    for (const [zone, at] of transitions) {
      const date = localDate(utc(at), zone)
      for (let minute = 0; minute < 1440; minute += 7) {
        const wall = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
        const theirs = DateTime.fromISO(`${date}T${wall}`, { zone })
        const isShown = theirs.toFormat('HH:mm') === wall
        const expected = isShown
          ? Math.min(...theirs.getPossibleOffsets().map((one) => one.toMillis()))
          : utc(at)
        expect(wallInstant(date, wall, zone), `${zone} ${date} ${wall}`).toBe(expected)
      }
    }
  })

  it('on days moved and counted', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: -4000, max: 4000 }), (date, n) => {
        const moved = addDays(date, n)
        expect(moved).toBe(DateTime.fromISO(date, { zone: 'utc' }).plus({ days: n }).toISODate())
        expect(daysBetween(date, moved)).toBe(n)
      }),
    )
  })
})

describe('every instant', () => {
  it('lies in the night spoken of or after it, and before the next one begins', () => {
    fc.assert(
      fc.property(anyInstant, anyZone, anyWall, anyWall, (at, zone, from, to) => {
        const hours = { from, to }
        const night = nightOf(at, zone, hours)
        expect(night.from).toBeLessThanOrEqual(at)
        expect(nightNamed(addDays(night.date, 1), zone, hours).from).toBeGreaterThan(at)
        expect(isNight(at, zone, hours)).toBe(at < night.to)
      }),
      { numRuns: 1000 },
    )
  })
})

describe('a season is one winter', () => {
  it.each([
    ['2026-06-30', '2025/26', '2026'],
    ['2026-07-01', '2026/27', '2026'],
    ['2026-12-31', '2026/27', '2026'],
    ['2027-01-01', '2026/27', '2027'],
    ['2027-06-30', '2026/27', '2027'],
    ['1999-12-24', '1999/00', '1999'],
  ])('%s belongs to %s in the north and %s in the south', (date, north, south) => {
    expect(seasonOf(date, 'north')).toBe(north)
    expect(seasonOf(date, 'south')).toBe(south)
  })

  it('has a first and a last date, both its own', () => {
    expect(seasonDates('2026/27')).toEqual({ first: '2026-07-01', last: '2027-06-30' })
    expect(seasonDates('2026')).toEqual({ first: '2026-01-01', last: '2026-12-31' })
    for (const none of [
      '',
      '26/27',
      '2026/28',
      '2026/2027',
      '2026/26',
      '2026-27',
      'winter',
      '9999/00',
      ' 2026',
    ]) {
      expect(seasonDates(none), none).toBeNull()
    }
  })

  it('contains each of its dates and nothing of the next: seasons tile the calendar', () => {
    fc.assert(
      fc.property(anyDate, fc.constantFrom('north' as const, 'south' as const), (date, hemisphere) => {
        const span = seasonDates(seasonOf(date, hemisphere))
        if (span === null) throw new Error('a season without dates')
        expect(span.first <= date && date <= span.last).toBe(true)
        expect(seasonOf(span.first, hemisphere)).toBe(seasonOf(span.last, hemisphere))
        expect(seasonOf(addDays(span.last, 1), hemisphere)).not.toBe(seasonOf(date, hemisphere))
        expect(seasonOf(addDays(span.first, -1), hemisphere)).not.toBe(seasonOf(date, hemisphere))
      }),
    )
  })
})
