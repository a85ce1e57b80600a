import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import { fitLag } from '../../shared/thermal/fit-lag.ts'
import { type Point, startLag, stepLag } from '../../shared/thermal/lag.ts'

const start = instant(Date.UTC(2026, 0, 10))

/** Air read each `every`, and soil that follows it exactly, both with noise and as their displays show them. */
function story(given: {
  readonly tau: number
  readonly air: (hour: number) => number
  readonly lasts: number
  readonly above?: number
  readonly noise?: number
  readonly step?: number
  readonly seed?: number
  readonly every?: number
  readonly begins?: number
}): { readonly air: Point[]; readonly soil: Point[] } {
  const { tau, lasts, above = 0, noise = 0, step = 0, seed = 1, every = seconds(60) } = given
  const random = seededRandom(seed)
  const spread = (): number => noise * random.normal()
  const shown = (value: number): number => (step === 0 ? value : Math.round(value / step) * step)
  const [air, soil]: [Point[], Point[]] = [[], []]
  let lag = startLag({ at: start, celsius: given.air(0) }, given.begins ?? given.air(0))
  for (let ms = 0; ms <= lasts; ms += every) {
    const at = later(start, ms)
    const celsius = given.air(ms / hours(1))
    lag = stepLag(lag, { at, celsius }, millis(tau))
    air.push({ at, celsius: shown(celsius + spread()) })
    soil.push({ at, celsius: shown(lag.celsius + above + spread()) })
  }
  return { air, soil }
}

/** Runs of 40 min round 5 °C, with a swing by day. */
const fridge = (hour: number): number =>
  5 + Math.sin((2 * Math.PI * hour) / 24) + 1.5 * Math.sin((2 * Math.PI * hour) / (2 / 3))
const stepped = (hour: number): number => (hour < 10 ? 6 : 3)

describe('L11: the time constant with which the animals’ side follows the air', () => {
  test.each([
    ['twenty minutes', minutes(20)],
    ['two hours', hours(2)],
    ['eight hours', hours(8)],
  ])('%s is found from two days of a fridge’s own swing, within three of its own uncertainties', (_, tau) => {
    const { air, soil } = story({ tau, air: fridge, lasts: hours(48), noise: 0.05, step: 1 / 16, above: 0.3 })
    const found = fitLag(air, soil)
    expect(found.ok).toBe(true)
    if (!found.ok) return
    // Means over five minutes smear the shortest by a minute
    expect(Math.abs(found.fit.tau - tau)).toBeLessThan(3 * found.fit.uncertainty + 0.06 * tau)
    expect(found.fit.uncertainty).toBeLessThan(0.25 * tau)
    expect(found.fit.above).toBeCloseTo(0.3, 1)
  })

  test('a step of the thermostat tells it too, and from a start that nobody knows', () => {
    const { air, soil } = story({ tau: hours(3), air: stepped, lasts: hours(36), begins: 9, noise: 0.05 })
    const found = fitLag(air, soil)
    expect(found.ok && found.fit.tau / hours(3)).toBeCloseTo(1, 1)
  })

  test('half a day is the least, exactly', () => {
    const lasting = (ms: number) => {
      const { air, soil } = story({ tau: hours(1), air: fridge, lasts: ms })
      return fitLag(air, soil).ok
    }
    expect(lasting(hours(12) - minutes(6))).toBe(false)
    expect(lasting(hours(12))).toBe(true)
  })

  test('air that stands still tells nothing', () => {
    const { air, soil } = story({ tau: hours(3), air: () => 5, lasts: hours(48), step: 1 / 16 })
    expect(fitLag(air, soil)).toEqual({ ok: false, why: 'tooSteady' })
  })

  test('what a heat mat warms does not follow the air, and that is said', () => {
    const { air, soil } = story({ tau: hours(3), air: fridge, lasts: hours(48) })
    const warmed = soil.map(({ at, celsius }) => ({
      at,
      celsius: celsius + 4 * Math.sin(((at - start) / hours(5)) * 2 * Math.PI),
    }))
    expect(fitLag(air, warmed)).toEqual({ ok: false, why: 'notByTheAir' })
  })

  test('after a hole of more than half an hour only what came later counts', () => {
    const { air, soil } = story({ tau: hours(2), air: fridge, lasts: hours(60) })
    const holed = (points: readonly Point[]) =>
      points.filter(({ at }) => at < start + hours(20) || at >= start + hours(21))
    const found = fitLag(holed(air), holed(soil))
    expect(found.ok && found.fit.from).toBe(start + hours(21))
    const late = fitLag(
      holed(air).filter(({ at }) => at < start + hours(30)),
      holed(soil).filter(({ at }) => at < start + hours(30)),
    )
    expect(late).toEqual({ ok: false, why: 'tooShort' })
  })

  test('nothing at all, one reading, and readings that are no numbers are too short', () => {
    const at = start
    for (const points of [[], [{ at, celsius: 5 }], [{ at, celsius: Number.NaN }]])
      expect(fitLag(points, points)).toEqual({ ok: false, why: 'tooShort' })
  })

  test('of 40 noisy stories at least 36 hold the truth within two of their uncertainties', () => {
    const held = Array.from({ length: 40 }, (_, seed) => {
      const tau = hours(1 + (seed % 6))
      const { air, soil } = story({ tau, air: fridge, lasts: hours(72), noise: 0.1, step: 0.1, seed })
      const found = fitLag(air, soil)
      // Means over five minutes sit two and a half minutes into their step on both sides: no bias worth naming
      return found.ok && Math.abs(found.fit.tau - tau) <= 2 * found.fit.uncertainty + 0.01 * tau
    })
    expect(held.filter(Boolean).length).toBeGreaterThanOrEqual(36)
  })

  test('whatever the readings, a figure comes with a finite uncertainty or not at all', () => {
    const value = fc.double({ min: -20, max: 40, noNaN: true })
    fc.assert(
      fc.property(fc.array(fc.tuple(value, value), { minLength: 150, maxLength: 250 }), (pairs) => {
        const points = (which: 0 | 1) =>
          pairs.map((pair, i) => ({ at: later(start, i * minutes(5)), celsius: pair[which] }))
        const found = fitLag(points(0), points(1))
        if (found.ok) expect(found.fit.uncertainty / found.fit.tau).toBeLessThanOrEqual(0.25)
      }),
      { numRuns: 30 },
    )
  })
})
