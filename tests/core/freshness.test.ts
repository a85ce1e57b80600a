import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { hours, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { freshFor, silentAfter } from '../../shared/sensing/freshness.ts'

describe('freshness', () => {
  it('a value is now for two expected intervals (derived: one lost message is everyday)', () => {
    expect(freshFor({ expectedEvery: seconds(60) })).toBe(seconds(120))
    expect(freshFor({ expectedEvery: minutes(15) })).toBe(minutes(30))
  })

  it('silence alarms after 10 min, or two intervals of a slow sender', () => {
    expect(silentAfter({ expectedEvery: seconds(10) })).toBe(minutes(10))
    expect(silentAfter({ expectedEvery: minutes(5) })).toBe(minutes(10))
    expect(silentAfter({ expectedEvery: millis(minutes(5) + 1) })).toBe(minutes(10) + 2)
    expect(silentAfter({ expectedEvery: hours(1) })).toBe(hours(2))
  })

  it('a sensor’s own figure stands, shorter or longer', () => {
    expect(silentAfter({ expectedEvery: seconds(60), silentAfter: seconds(30) })).toBe(seconds(30))
    expect(silentAfter({ expectedEvery: seconds(60), silentAfter: hours(4) })).toBe(hours(4))
    expect(silentAfter({ expectedEvery: seconds(60), silentAfter: undefined })).toBe(minutes(10))
  })

  it('10 min of silence leave time: a fridge failing into a 20 °C room passes 8 °C after 0.446 h (Newton, 2 h)', () => {
    const passes = hours(2) * Math.log((20 - 5) / (20 - 8))
    expect(passes / hours(1)).toBeCloseTo(0.446, 3)
    expect(silentAfter({ expectedEvery: seconds(60) })).toBeLessThan(passes / 2)
  })

  it('without a figure of its own a sensor is never called silent while its value is fresh', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 86_400_000 }).map(millis), (expectedEvery) => {
        expect(silentAfter({ expectedEvery })).toBeGreaterThanOrEqual(freshFor({ expectedEvery }))
        expect(silentAfter({ expectedEvery })).toBeGreaterThanOrEqual(minutes(10))
      }),
    )
  })
})
