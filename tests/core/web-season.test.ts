import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { NightSummary } from '../../schemas/api.ts'
import { byMonth, neighbour, newestWithReadings, seasonRange } from '../../web/winter/season.ts'

const dayMs = 86_400_000
const start = Date.parse('2026-11-28T19:00:00Z')

const night = (day: number, readings: number): NightSummary => {
  const from = start + day * dayMs
  return NightSummary.parse({
    date: new Date(from).toISOString().slice(0, 10),
    from,
    to: from + dayMs / 2,
    readings,
    min: readings > 0 ? 4 : null,
    mean: readings > 0 ? 5 : null,
    max: readings > 0 ? 6 : null,
    low: 3,
    high: 7,
    below: 0,
    inside: 0,
    above: 0,
    unknown: 0,
    alarms: 0,
  })
}
const nights = [0, 0, 9, 9, 0, 9, 0, 0].map((readings, day) => night(day, readings))

describe('the nights of a winter', () => {
  test('begin with the first that was watched and end with the one now running; empty ones between are shown', () => {
    const months = byMonth(nights, start + 6 * dayMs)
    expect(months.map(({ month, nights: of }) => [month, of.map((one) => one.date)])).toEqual([
      ['2026-12', ['2026-12-04', '2026-12-03', '2026-12-02', '2026-12-01']],
      ['2026-11', ['2026-11-30']],
    ])
    expect(byMonth(nights, start + 6 * dayMs - 1)[0]?.nights[0]?.date).toBe('2026-12-03')
    expect(byMonth([night(0, 0)], start + dayMs)).toEqual([])
  })

  test('earlier and later step over nights without readings and stop at the ends', () => {
    expect(newestWithReadings(nights)).toBe('2026-12-03')
    expect(neighbour(nights, '2026-12-03', -1)).toBe('2026-12-01')
    expect(neighbour(nights, '2026-12-03', 1)).toBeNull()
    expect(neighbour(nights, '2026-11-30', -1)).toBeNull()
  })

  test('one scale holds the season, limits included; nothing watched has none', () => {
    expect(seasonRange(nights)).toEqual([2.5, 7.5])
    expect(seasonRange([night(0, 0)])).toBeNull()
  })

  test('every night that was watched and has begun is listed once', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 3 }), { maxLength: 120 }),
        fc.integer({ min: 0, max: 120 }),
        (counts, today) => {
          const some = counts.map((readings, day) => night(day, readings))
          const listed = byMonth(some, start + today * dayMs).flatMap((month) =>
            month.nights.map((one) => one.date),
          )
          const wanted = some.filter((one, day) => one.readings > 0 && day <= today).map((one) => one.date)
          expect(new Set(listed).size).toBe(listed.length)
          for (const date of wanted) expect(listed).toContain(date)
        },
      ),
    )
  })
})
