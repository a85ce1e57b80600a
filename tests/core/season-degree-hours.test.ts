import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, it, test } from 'vitest'
import { hours } from '../../schemas/amounts.ts'
import {
  addToCurve,
  type Between,
  type BeyondCurve,
  type Edge,
  heldBeyond,
  lineBeyond,
  noCurve,
} from '../../shared/season/degree-hours.ts'

const above = (value: number, inclusive = false): Edge => ({ side: 'above', value, inclusive })
const below = (value: number, inclusive = false): Edge => ({ side: 'below', value, inclusive })
const hour = 3_600_000

type Row = readonly [hour: number, celsius: number]
const curve = (rows: readonly Row[], edge: Edge, between: Between, gap = hours(24)): BeyondCurve =>
  rows.reduce((so, [h, at]) => addToCurve(so, edge, between, gap, [h * hour, at]), noCurve)

describe('degree-hours', () => {
  const peak: readonly Row[] = [
    [0, 5],
    [2, 12],
    [4, 5],
  ] // prettier-ignore

  it('of a peak of 12 °C over 8 °C: 4.5714 K·h in 2.2857 h on straight lines (computed)', () => {
    const { time, degreeHours, unknown } = curve(peak, above(8), 'line')
    expect(degreeHours).toBeCloseTo(2 * 0.5 * ((2 * 4) / 7) * 4, 12)
    expect(degreeHours).toBeCloseTo(4.5714, 4)
    expect(time / hour).toBeCloseTo(2.2857, 4)
    expect(unknown).toBe(0)
  })

  it('of the same peak where each value holds until the next: 8.0 K·h in 2 h (computed)', () => {
    expect(curve(peak, above(8), 'held')).toMatchObject({ degreeHours: 8, time: 2 * hour })
  })

  it('of Seattle hourly normals (NOAA): 5521 h above 8 °C, 258 h at 4 °C or below, 34837.0 and 95.7 K·h', () => {
    const url = new URL('../../fixtures/days/seattle-weather-hourly-normals.csv', import.meta.url)
    const year = readFileSync(url, 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((l) => Number(l.split(',')[2])) // prettier-ignore
    const rows: Row[] = [...year, year.at(-1) ?? 0].map((at, h) => [h, at])
    const warm = curve(rows, above(8), 'held')
    const cold = curve(rows, below(4, true), 'held')
    expect([warm.time / hour, cold.time / hour]).toEqual([5521, 258])
    expect(warm.degreeHours).toBeCloseTo(34837.0, 1)
    expect(cold.degreeHours).toBeCloseTo(95.7, 1)
    expect(warm.unknown).toBe(0)
  })

  it('below an edge are those above it upside down', () => {
    const upside = peak.map(([h, at]): Row => [h, -at])
    for (const between of ['line', 'held'] as const) {
      const { time, degreeHours } = curve(upside, below(-8), between)
      expect({ time, degreeHours }).toEqual(
        (({ time: t, degreeHours: d }) => ({ time: t, degreeHours: d }))(curve(peak, above(8), between)),
      )
    }
  })
})

test('L1: a value on the edge is beyond an inclusive one and not beyond a strict one, with no degree-hours', () => {
  expect(heldBeyond(above(8, true), 8, hour)).toEqual({ time: hour, degreeHours: 0 })
  expect(heldBeyond(above(8), 8, hour)).toEqual({ time: 0, degreeHours: 0 })
  expect(lineBeyond(below(8, true), 8, 8, hour)).toEqual({ time: hour, degreeHours: 0 })
  expect(lineBeyond(below(8), 8, 8, hour)).toEqual({ time: 0, degreeHours: 0 })
  expect(lineBeyond(above(8, true), 5, 8, hour)).toEqual({ time: 0, degreeHours: 0 })
  expect(lineBeyond(above(8), 8, 9, hour)).toEqual({ time: hour, degreeHours: 0.5 })
})

describe('gaps', () => {
  const gapped = (h: number, between: Between) =>
    curve(
      [
        [0, 9],
        [h, 9],
      ],
      above(8),
      between,
      hours(1),
    ) // prettier-ignore

  it('one as long as the longest allowed is known; one longer is unknown, never inside', () => {
    for (const between of ['line', 'held'] as const)
      expect(gapped(1, between)).toMatchObject({ time: hour, unknown: 0 })
    expect(gapped(1.5, 'line')).toMatchObject({ time: 0, degreeHours: 0, unknown: 1.5 * hour })
  })

  it('L2: a held value holds for the longest gap, and what comes after is unknown', () => {
    expect(gapped(1.5, 'held')).toMatchObject({ time: hour, degreeHours: 1, unknown: 0.5 * hour })
  })

  it('readings that go back or are no numbers are the caller’s mistake', () => {
    expect(() =>
      curve(
        [
          [1, 5],
          [0, 5],
        ],
        above(8),
        'line',
      ),
    ).toThrow(RangeError) // prettier-ignore
    expect(() => curve([[0, Number.NaN]], above(8), 'line')).toThrow(RangeError)
  })
})

const value = fc.double({ min: -10, max: 20, noNaN: true })
const length = fc.integer({ min: 1, max: 48 * hour })

describe('whatever the line', () => {
  it('cutting it anywhere changes neither time nor degree-hours: they add up', () => {
    const share = fc.double({ min: 0.01, max: 0.99, noNaN: true })
    fc.assert(
      fc.property(value, value, value, length, share, (from, to, edge, ms, at) => {
        const middle = from + (to - from) * at
        const whole = lineBeyond(above(edge), from, to, ms)
        const one = lineBeyond(above(edge), from, middle, ms * at)
        const two = lineBeyond(above(edge), middle, to, ms * (1 - at))
        expect(one.degreeHours + two.degreeHours).toBeCloseTo(whole.degreeHours, 6)
        if (Math.abs(to - from) > 1e-3) expect((one.time + two.time - whole.time) / ms).toBeCloseTo(0, 6)
      }),
    )
  })

  it('above less below is the whole area to the edge, and the two times fill it', () => {
    fc.assert(
      fc.property(value, value, value, length, (from, to, edge, ms) => {
        const up = lineBeyond(above(edge, true), from, to, ms)
        const down = lineBeyond(below(edge), from, to, ms)
        expect(up.degreeHours - down.degreeHours).toBeCloseTo((((from + to) / 2 - edge) * ms) / hour, 6)
        expect((up.time + down.time) / ms).toBeCloseTo(1, 9)
      }),
    )
  })

  it('agrees with a thousand thin slices', () => {
    fc.assert(
      fc.property(value, value, value, (from, to, edge) => {
        let sum = 0
        for (let i = 0; i < 1000; i++) sum += Math.max(0, from + ((to - from) * (i + 0.5)) / 1000 - edge)
        expect(Math.abs(lineBeyond(above(edge), from, to, hour).degreeHours - sum / 1000)).toBeLessThan(1e-4)
      }),
    )
  })
})
