import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { shortestSilence } from '../../shared/sensing/freshness.ts'
import {
  isSettled,
  laggedAt,
  lagShares,
  settledFrom,
  startLag,
  stepLag,
  type LagState,
  type Point,
} from '../../shared/thermal/lag.ts'

const start = instant(1_000_000_000_000)
const point = (ms: number, celsius: number): Point => ({ at: later(start, ms), celsius })
const run = (points: readonly Point[], tau: number, celsius?: number): LagState =>
  points
    .slice(1)
    .reduce<LagState>(
      (state, p) => stepLag(state, p, millis(tau)),
      startLag(points[0] ?? point(0, 0), celsius),
    )

test('L11: an animal of τ 2 h at 5 °C in air of −5 °C is at 1 °C after 1.022 h (Newton, recomputed)', () => {
  const state = startLag(point(0, -5), 5)
  expect(laggedAt(state, later(start, hours(1.0217)), hours(2))).toBeCloseTo(1, 3)
})

test('L11: air that falls along a straight line is followed one time constant late, once the start is forgotten', () => {
  const air = Array.from({ length: 1201 }, (_, i) => point(minutes(i), 20 - i / 60))
  // The exact answer to a ramp of −1 K/h behind a lag of 1 h: T = air + 1 K.
  expect(run(air, hours(1)).celsius).toBeCloseTo(20 - 20 + 1, 6)
})

test('L2: held air and straight air differ by what half an interval makes of a step', () => {
  const from = startLag(point(0, 0), 0)
  const held = stepLag(from, point(minutes(10), 10), hours(1), 'held')
  const straight = stepLag(from, point(minutes(10), 10), hours(1))
  expect(held.celsius).toBe(0)
  // ∫ of the ramp: 10 (1 − (1 − e^(−1/6))·6), recomputed.
  expect(straight.celsius).toBeCloseTo(10 * (1 - 6 * (1 - Math.exp(-1 / 6))), 12)
})

test('L5: a repeat, a late reading and what is no number change nothing', () => {
  const state = run([point(0, 5), point(minutes(1), 6)], hours(1))
  for (const ms of [0, minutes(0.5), minutes(1)]) expect(stepLag(state, point(ms, 30), hours(1))).toBe(state)
  for (const wrong of [Number.NaN, Infinity, -Infinity]) {
    expect(stepLag(state, point(minutes(2), wrong), hours(1))).toBe(state)
  }
})

test('what follows at once (τ 0) is the air; what never follows stays', () => {
  const two = [point(0, 5), point(minutes(1), 8)]
  expect(run(two, 0).celsius).toBe(8)
  expect(run(two, Number.MAX_SAFE_INTEGER).celsius).toBeCloseTo(5, 9)
})

describe('how much is known', () => {
  const steady = (count: number) => Array.from({ length: count }, (_, i) => point(minutes(i), 5))

  test('the guess at the start counts until three time constants have passed', () => {
    expect(run(steady(180), hours(1)).known).toBeLessThan(settledFrom)
    expect(isSettled(run(steady(180), hours(1)))).toBe(false)
    expect(isSettled(run(steady(181), hours(1)))).toBe(true)
    expect(isSettled(run(steady(2), hours(1), 5))).toBe(true)
  })

  test('a gap as long as a sensor may be silent is no gap, one millisecond more is', () => {
    const known = startLag(point(0, 5), 5)
    const after = (ms: number) => stepLag(known, point(ms, 5), hours(1)).known
    expect(after(shortestSilence)).toBe(1)
    expect(after(shortestSilence + 1)).toBeCloseTo(Math.exp(-1 / 6), 5)
  })
})

const anyAir = fc.array(
  fc.record({
    gap: fc.integer({ min: 1, max: hours(10) }),
    celsius: fc.double({ min: -40, max: 60, noNaN: true }),
  }),
  { minLength: 1, maxLength: 60 },
)
const pointsOf = (air: readonly { readonly gap: number; readonly celsius: number }[]): Point[] => {
  let ms = 0
  return air.map(({ gap, celsius }) => point((ms += gap), celsius))
}

describe('always', () => {
  test('the animal stays between the coldest and the warmest air, whatever times and τ', () => {
    fc.assert(
      fc.property(anyAir, fc.integer({ min: 0, max: hours(1000) }), (air, tau) => {
        const points = pointsOf(air)
        const all = points.map(({ celsius }) => celsius)
        const { celsius, known } = run(points, tau)
        expect(celsius).toBeGreaterThanOrEqual(Math.min(...all) - 1e-9)
        expect(celsius).toBeLessThanOrEqual(Math.max(...all) + 1e-9)
        expect(known).toBeGreaterThanOrEqual(0)
        expect(known).toBeLessThanOrEqual(1)
      }),
    )
  })

  test('a reading more on the straight line between two changes nothing: times may be irregular', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 60, noNaN: true }),
        fc.double({ min: -40, max: 60, noNaN: true }),
        fc.integer({ min: 2, max: hours(1) }),
        fc.integer({ min: 1, max: hours(50) }),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (from, to, passed, tau, share) => {
          const middle = Math.min(passed - 1, Math.max(1, Math.round(passed * share)))
          const between = point(middle, from + ((to - from) * middle) / passed)
          const whole = run([point(0, from), point(passed, to)], tau, 7)
          const parts = run([point(0, from), between, point(passed, to)], tau, 7)
          expect(parts.celsius).toBeCloseTo(whole.celsius, 8)
        },
      ),
    )
  })

  test('the three shares are not negative and sum to one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e12, noNaN: true }),
        fc.double({ min: 0, max: 1e12, noNaN: true }),
        fc.constantFrom('held' as const, 'straight' as const),
        (passed, tau, between) => {
          const { kept, older, newer } = lagShares(passed, tau, between)
          expect(Math.min(kept, older, newer)).toBeGreaterThanOrEqual(0)
          expect(kept + older + newer).toBeCloseTo(1, 9)
        },
      ),
    )
  })
})

test('readings seconds apart lose no digits behind a lag of days', () => {
  const air = Array.from({ length: 3601 }, (_, i) => point(seconds(i), 10))
  expect(run(air, hours(100), 0).celsius).toBeCloseTo(10 * -Math.expm1(-0.01), 9)
})
