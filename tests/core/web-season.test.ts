import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later } from '../../schemas/amounts.ts'
import { NightSummary, Winter } from '../../schemas/api.ts'
import { addDays } from '../../shared/time/wall.ts'
import { createTell } from '../../web/words/tell.ts'
import { dayOfSeason, nightByKey, numbersOf, stripNights } from '../../web/winter/strip.ts'
import { frameOf } from '../../web/winter/strip-frame.ts'
import { hourPaths } from '../../web/winter/hour-cells.ts'
import { seasonRange } from '../../web/winter/season.ts'
import { nightLine, summaryWords } from '../../web/winter/winter-words.ts'

const dayMs = 86_400_000
const start = Date.parse('2026-11-28T20:00:00Z')
const tell = createTell('en-GB')

function night(day: number, min: number | null, change: Partial<NightSummary> = {}): NightSummary {
  const from = instant(start + day * dayMs)
  return NightSummary.parse({
    date: new Date(from).toISOString().slice(0, 10),
    from,
    to: later(from, hours(12)),
    readings: min === null ? 0 : 360,
    min,
    mean: min === null ? null : min + 1,
    max: min === null ? null : min + 2,
    low: 3,
    high: 7,
    below: 0,
    inside: min === null ? 0 : hours(12),
    above: 0,
    unknown: min === null ? hours(12) : 0,
    alarms: 0,
    ...change,
  })
}

/** Newest first, as the daemon gives them. */
function winterOf(nights: readonly NightSummary[], strip: Partial<Winter['strip']> = {}): Winter {
  const letters = nights.map(({ readings }) => (readings > 0 ? 'i' : '.').repeat(12))
  const values = nights.map(({ min }) => Array.from({ length: 12 }, () => min))
  return Winter.parse({
    place: 'box',
    quantity: 'temperature',
    season: '2026/27',
    seasons: ['2026/27'],
    nights: nights.toReversed(),
    strip: {
      hours: letters.toReversed(),
      low: values.toReversed(),
      high: values.toReversed(),
      raised: [],
      opened: [],
      gaps: 0,
      ...strip,
    },
  })
}

const winter = winterOf(
  [
    night(0, null),
    night(1, 4),
    night(2, null),
    night(3, 0.8, { below: hours(3), alarms: 2 }),
    night(4, 4.5),
    night(5, 4),
  ],
  {
    raised: [
      { at: instant(start + 3 * dayMs + hours(1)), priority: 'medium' },
      { at: instant(start + 3 * dayMs + hours(2)), priority: 'high' },
      { at: instant(start + 3 * dayMs + hours(14)), priority: 'low' },
    ],
    opened: [instant(start + 4 * dayMs + hours(2))],
    gaps: 1,
  },
)
const now = start + 5 * dayMs + hours(4)

describe('the strip of a winter', () => {
  test('L2: begins with the first night that was watched and ends with the one now running; a gap stays a gap', () => {
    const nights = stripNights(winter, now)
    expect(nights.map(({ date, hours: letters, blank }) => [date, letters, blank])).toEqual([
      ['2026-11-29', 'iiiiiiiiiiii', 0],
      ['2026-11-30', '............', 12],
      ['2026-12-01', 'iiiiiiiiiiii', 0],
      ['2026-12-02', 'iiiiiiiiiiii', 0],
      ['2026-12-03', 'iiii', 0], // what is to come of tonight is no silence
    ])
    expect(stripNights(winter, now - hours(5)).at(-1)?.date).toBe('2026-12-02')
    expect(stripNights(winterOf([night(0, null)]), now)).toEqual([])
  })

  test('alarms stand in the night in which they were raised, by priority; those of the day are counted apart', () => {
    const raised = stripNights(winter, now).map(({ priorities, worst }) => [priorities, worst])
    expect(raised[2]).toEqual([['high', 'medium'], 'high'])
    expect(raised[3]).toEqual([[], null])
    expect(numbersOf(winter, now)).toMatchObject({ alarms: 2, alarmsByDay: 1, alarmed: 1, watched: 4 })
  })

  test('a winter and a night are told in words', () => {
    expect(summaryWords(winter, now, tell)).toBe(
      '4 nights were watched. The coldest was 0.8\u202f°C, on Tue 1 Dec. One night had an alarm. Once it was silent for more than an hour.',
    )
    const nights = stripNights(winter, now)
    expect(nights.map((one) => nightLine(one, 'temperature', tell))).toEqual([
      'Sun 29 Nov: 4.0 to 6.0\u202f°C',
      'Mon 30 Nov: nothing was heard',
      'Tue 1 Dec: 0.8 to 2.8\u202f°C, 3 h below the band, 2 alarms',
      'Wed 2 Dec: 4.5 to 6.5\u202f°C, the door opened once',
      'Thu 3 Dec: 4.0 to 6.0\u202f°C',
    ])
  })

  test('arrows lead to the night beside, Page by a week, Home and End to the ends, and nothing leads beyond', () => {
    const nights = stripNights(winter, now)
    const to = (key: string, from: number, isNewestFirst = false) =>
      nightByKey(nights, nights[from]?.day ?? 0, key, isNewestFirst)?.date ?? null
    expect([to('ArrowRight', 1), to('ArrowLeft', 1)]).toEqual(['2026-12-01', '2026-11-29'])
    expect([to('ArrowDown', 1), to('ArrowDown', 1, true)]).toEqual(['2026-12-01', '2026-11-29'])
    expect([to('Home', 2), to('End', 2)]).toEqual(['2026-11-29', '2026-12-03'])
    expect([to('Home', 2, true), to('PageUp', 2)]).toEqual(['2026-12-03', '2026-11-29'])
    expect([to('ArrowLeft', 0), to('ArrowRight', 4)]).toEqual(['2026-11-29', '2026-12-03'])
    expect(to('a', 2)).toBeNull()
  })

  test('seasons lie over each other by the date, in leap years and on both halves of the earth', () => {
    expect(dayOfSeason('2027-03-01', '2026/27')).toBe(dayOfSeason('2028-03-01', '2027/28'))
    expect(dayOfSeason('2028-03-01', '2027/28') - dayOfSeason('2028-02-28', '2027/28')).toBe(2)
    expect([dayOfSeason('2026-07-01', '2026/27'), dayOfSeason('2027-06-30', '2026/27')]).toEqual([0, 365])
    expect([dayOfSeason('2027-01-01', '2027'), dayOfSeason('2027-12-31', '2027')]).toEqual([0, 365])
  })

  test('every date of a season has a day of its own, later dates later ones', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2020, max: 2060 }), fc.integer({ min: 0, max: 363 }), (year, n) => {
        const season = `${year}/${String((year + 1) % 100).padStart(2, '0')}`
        const [one, next] = [addDays(`${year}-07-01`, n), addDays(`${year}-07-01`, n + 1)]
        expect(dayOfSeason(next, season)).toBeGreaterThan(dayOfSeason(one, season))
      }),
    )
  })

  test('one scale holds both seasons, limits included; where nothing was watched nothing is drawn', () => {
    expect(seasonRange([night(0, 4), night(1, 5)])).toEqual([2.5, 7.5])
    expect(seasonRange([night(0, null)])).toBeNull()
    expect(frameOf([])).toBeNull()
    const seasons = [{ winter, nights: stripNights(winter, now) }]
    expect(frameOf(seasons)).toMatchObject({ hours: 12, toned: [0.8, 4.5] })
  })

  test('each hour is inked as far as it went: half where it left the band, more beyond the critical limit, a gap not at all', () => {
    const values = [4, 2, 8, 0, 12, null]
    const { tones, out, blank } = hourPaths({ hours: 'ilhLH.', low: values, high: values }, [0, 12], (i) => ({
      x: i * 10,
      y: 0,
      width: 10,
      height: 20,
    }))
    expect(tones.join('').match(/M/g)).toHaveLength(5)
    expect(tones[4]).toContain('M30 0') // the lowest is the darkest
    expect(tones[0]).toContain('M40 0')
    expect(out).toBe('M10 10h10v10h-10zM20 0h10v10h-10zM30 3h10v17h-10zM40 0h10v17h-10z')
    expect(blank).toBe('M55 1v18')
  })
})
