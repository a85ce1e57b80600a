import fc from 'fast-check'
import { expect, test } from 'vitest'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { pacePerHour, timeUntil } from '../../shared/thermal/trend.ts'

const every = (step: number, values: readonly number[]) =>
  values.map((value, i) => [(1_000_000_000_000 + i * step) as Instant, value] as const)
const falling = (count: number, perHour: number, from = 5) =>
  every(
    minutes(1),
    Array.from({ length: count }, (_, i) => from + (perHour * i) / 60),
  )

test('A6: two degrees an hour from 3.0 °C meet 1.0 °C in one hour', () => {
  const points = falling(31, -2, 4)
  expect(points.at(-1)?.[1]).toBeCloseTo(3, 9)
  expect(pacePerHour(points)).toBeCloseTo(-2, 9)
  expect(timeUntil(1, points)).toBeCloseTo(hours(1), -1)
})

test('moving away, standing still, or being there already is no time left', () => {
  expect(timeUntil(1, falling(31, 2))).toBeNull()
  expect(timeUntil(1, falling(31, 0))).toBeNull()
  expect(timeUntil(1, falling(31, -2, 1.5))).toBeNull()
  expect(timeUntil(8, falling(31, 2, 5))).toBeCloseTo(hours(1), -1)
})

test('four points say nothing, five do; twelve hours are said, more are not', () => {
  expect(pacePerHour(falling(4, -2))).toBeNull()
  expect(pacePerHour(falling(5, -2))).not.toBeNull()
  expect(timeUntil(0, falling(31, -1, 12.5))).toBe(hours(12))
  expect(timeUntil(0, falling(31, -1, 12.51))).toBeNull()
})

test('a median of slopes is the middle of an odd count and the mean of the two middle ones of an even count', () => {
  const points = every(hours(1), [0, 1, 2, 3, 20])
  // pairs: 1,1,1,1,1,1 (of the first four), 20/4=5, 19/3, 18/2=9, 17: median of ten is between the 5th and 6th, both 1
  expect(pacePerHour(points)).toBeCloseTo(1, 9)
  expect(pacePerHour(every(hours(1), [0, 1, 3, 6, 10]))).toBeCloseTo(2.5, 9)
})

test('one spike among many does not move the pace', () => {
  const points = falling(31, -2).map(([at, value], i) => [at, i === 15 ? value - 40 : value] as const)
  expect(pacePerHour(points)).toBeCloseTo(-2, 1)
})

test('two readings at one instant and a single instant for all break nothing', () => {
  expect(pacePerHour(every(0, [1, 2, 3, 4, 5, 6]))).toBeNull()
  expect(pacePerHour([...falling(6, -2), ...falling(6, -2)])).not.toBeNull()
})

test('a straight line gives its own pace, whatever its length', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 5, max: 400 }),
      fc.double({ min: -20, max: 20, noNaN: true }),
      (count, perHour) => {
        expect(pacePerHour(falling(count, perHour))).toBeCloseTo(perHour, 6)
      },
    ),
  )
})
