import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import {
  addSpread,
  addValue,
  deviationOf,
  emptySpread,
  percentile,
  type Spread,
} from '../../shared/thermal/trial-spread.ts'

type Held = readonly [value: number, ms: number]
const spreadOf = (all: readonly Held[]): Spread => {
  const spread = emptySpread()
  all.forEach(([value, ms], i) => addValue(spread, instant(i), value, ms))
  return spread
}
const held = fc.tuple(fc.double({ min: -39, max: 79, noNaN: true }), fc.integer({ min: 0, max: 3_600_000 }))

describe('values weighed by how long they held', () => {
  test('mean and deviation are those of the time, not of the readings', () => {
    const spread = spreadOf([
      [4, 3000],
      [8, 1000],
    ])
    expect(spread.mean).toBeCloseTo(5, 12)
    // √((3·1² + 1·3²) / 4)
    expect(deviationOf(spread)).toBeCloseTo(Math.sqrt(3), 12)
  })

  test('percentiles are right to a tenth of a kelvin, and never beyond the extremes', () => {
    const spread = spreadOf(Array.from({ length: 1001 }, (_, i) => [i / 100, 1000]))
    expect(percentile(spread, 0.05)).toBeCloseTo(0.5, 1)
    expect(percentile(spread, 0.95)).toBeCloseTo(9.5, 1)
    expect(percentile(spread, 0)).toBe(0)
    expect(percentile(spread, 1)).toBe(10)
    const far = spreadOf([[-60, 1000]])
    expect([percentile(far, 0.5), percentile(emptySpread(), 0.5)]).toEqual([-60, null])
  })

  test('a value that held for no time counts for the extremes alone', () => {
    const spread = spreadOf([
      [5, 1000],
      [9, 0],
    ])
    expect([spread.mean, spread.ms, spread.max?.value]).toEqual([5, 1000, 9])
  })

  test('property: parts put together say what the whole says, wherever it is cut', () => {
    fc.assert(
      fc.property(fc.array(held, { maxLength: 100 }), fc.nat(100), (all, cut) => {
        const whole = spreadOf(all)
        const parts = spreadOf(all.slice(0, cut))
        addSpread(parts, spreadOf(all.slice(cut)))
        expect(parts.ms).toBe(whole.ms)
        expect(parts.mean).toBeCloseTo(whole.mean, 8)
        expect(deviationOf(parts)).toBeCloseTo(deviationOf(whole), 6)
        expect([parts.min?.value, parts.max?.value]).toEqual([whole.min?.value, whole.max?.value])
        for (const share of [0.05, 0.5, 0.95])
          expect(percentile(parts, share) ?? 0).toBeCloseTo(percentile(whole, share) ?? 0, 6)
      }),
    )
  })
})
