import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { Columns, Night } from '../../schemas/api.ts'
import { stripHours } from '../../shared/season/strip.ts'
import { nightsBetween } from '../../shared/time/night.ts'

const evening = instant(Date.parse('2027-01-12T20:00:00Z'))
const night: Night = { date: '2027-01-12', from: evening, to: later(evening, hours(12)) }

/** Hourly figures in the middle of each hour since the evening; null is a row that tells of a silence. */
function columnsOf(
  figures: readonly (readonly [hour: number, low: number | null, high: number | null])[],
): Columns {
  const low = figures.map(([, value]) => value)
  const high = figures.map(([, , value]) => value)
  return { at: figures.map(([hour]) => later(evening, hours(hour))), low, mean: low, high }
}

const band = (_at: number, value: number) =>
  value < 1 ? 'lowCritical' : value < 3 ? 'low' : value > 8 ? 'highCritical' : value > 6 ? 'high' : 'inside'

describe('the nights of a winter hour by hour', () => {
  test('L1: an hour is told by what went furthest out in it, and by its lowest and highest value', () => {
    const figures = [
      [0.5, 4, 5],
      [1.5, 2.96, 5],
      [2.5, 0.5, 7],
      [3.5, 4, 6.04],
      [4.5, 4, 9],
    ] as const
    const { hours, low, high } = stripHours([night], columnsOf(figures), band)
    expect(hours).toEqual(['ilLhH.......'])
    expect(low[0]?.slice(0, 6)).toEqual([4, 3, 0.5, 4, 4, null])
    expect(high[0]?.slice(0, 6)).toEqual([5, 5, 7, 6, 9, null])
  })

  test('L2: a silence is a gap; between the words of a sensor that speaks seldom its last word holds', () => {
    const silent = stripHours(
      [night],
      columnsOf([
        [0.5, 4, 4],
        [2.5, null, null],
        [4.5, 5, 5],
        [7.5, 5.5, 5.5],
      ]),
      band,
    )
    expect(silent.hours).toEqual(['i...iiii....'])
    expect(silent.low[0]).toEqual([4, null, null, null, 5, 5, 5, 5.5, null, null, null, null])
    expect(silent.gaps).toBe(1)
  })

  test('what was said by day holds into the evening, unless a silence follows it', () => {
    const tomorrow: Night = {
      date: '2027-01-13',
      from: later(evening, hours(24)),
      to: later(evening, hours(36)),
    }
    const held = columnsOf([
      [0.5, 4, 4],
      [20.5, 2, 2],
      [26.5, 4, 4],
    ])
    expect(stripHours([night, tomorrow], held, band).hours[1]).toBe('lli.........')
  })

  test.each([
    ['2027-03-27', 11],
    ['2027-03-28', 12],
    ['2026-10-24', 13],
  ])('the night of %s has %d hours in Vienna', (date, count) => {
    const [one] = nightsBetween(date, date, 'Europe/Vienna', { from: '20:00', to: '08:00' })
    if (one === undefined) throw new Error('no night')
    const from = later(one.from, minutes(30))
    const columns: Columns = { at: [from], low: [4], mean: [4], high: [4] }
    expect(stripHours([one], columns, band).hours[0]).toHaveLength(count)
  })

  test('every night has a letter, a lowest and a highest value for each of its hours, whatever was heard', () => {
    const row = fc.tuple(
      fc.integer({ min: -40, max: 200 }),
      fc.option(fc.double({ min: -10, max: 30, noNaN: true })),
    )
    fc.assert(
      fc.property(fc.array(row, { maxLength: 60 }), (rows) => {
        const sorted = rows.toSorted(([one], [other]) => one - other)
        const columns = columnsOf(sorted.map(([hour, value]) => [hour, value, value] as const))
        const nights = nightsBetween('2027-01-12', '2027-01-18', 'UTC', { from: '20:00', to: '08:00' })
        const strip = stripHours(nights, columns, band)
        strip.hours.forEach((letters, i) => {
          expect(letters).toMatch(/^[.ilhLH]{12}$/)
          const low = strip.low[i] ?? []
          expect([low.length, strip.high[i]?.length]).toEqual([12, 12])
          expect(low.map((value) => value === null)).toEqual([...letters].map((letter) => letter === '.'))
        })
      }),
    )
  })
})
