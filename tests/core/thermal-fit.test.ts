import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { fitOneNode, fitTwoNodes } from '../../shared/thermal/fit-nodes.ts'
import { fewestReadings, tauFromStep } from '../../shared/thermal/step-response.ts'
import { fitLeastSquares } from '../../shared/thermal/least-squares.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import { curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'

const seeds = Array.from({ length: 20 }, (_, i) => i + 1)
const room = { id: 'room', kind: 'room', mean: 20 }
/** A cold room switched off: one lump of τ 2 h in a room at 20 °C. */
const lump = { id: 'lump', kind: 'coldRoom', parent: 'room', capacity: 14_400, conductance: 2, startsAt: 5 }
/** The same with little air and 10 kg of water in it: two nodes of 2000 s, 1000 s and 20 930 s. */
const air = { ...lump, capacity: 2000, conductance: 1 }
const load = { id: 'load', kind: 'box', parent: 'lump', capacity: 41_860, conductance: 2, startsAt: 5 }

const probes = [
  { noise: 0.05, step: 1 / 16, every: minutes(1) },
  { noise: 0.2, step: 0.1, every: minutes(1) },
  { noise: 0.1, step: 0.1, every: minutes(5) },
  // Less noise than a step: the errors of neighbouring readings go together.
  { noise: 0.02, step: 0.1, every: minutes(1) },
]

/** Distances from the truth in stated standard uncertainties: about one in the mean square if these are honest. */
function expectHonest(distances: readonly number[]): void {
  expect(distances.length).toBeGreaterThanOrEqual(20)
  const meanSquare = distances.reduce((sum, z) => sum + z * z, 0) / distances.length
  // 20 or more draws from a normal law: χ²/n beyond these ends happens once in thousands.
  expect(meanSquare).toBeGreaterThan(0.25)
  expect(meanSquare).toBeLessThan(2.4)
  expect(Math.max(...distances.map(Math.abs))).toBeLessThan(4)
}

describe.each(probes)(
  'L11: with noise of $noise K, steps of $step K and a reading each $every ms',
  (probe) => {
    test('the time constant of a warm-up comes out within its stated uncertainty, for 20 seeds', () => {
      const truth = practiceCurve([room, lump], hours(6), 1)
      const fits = seeds.map((seed) => tauFromStep(shownBy(truth, { place: 1, ...probe }, seed)))
      expectHonest(fits.map((fit) => ((fit?.tau ?? 0) - hours(2)) / (fit?.tauUncertainty ?? 1)))
      expectHonest(fits.map((fit) => ((fit?.final ?? 0) - 20) / (fit?.finalUncertainty ?? 1)))
    })

    test('so does the constant of one lump under a room that swings', () => {
      const truth = practiceCurve([{ ...room, swing: 4 }, lump], hours(6), 1)
      const distances = seeds.map((seed) => {
        const shown = shownBy(truth, { place: 1, ...probe }, seed)
        const roomAt = new Map(truth.map(({ at, celsius }) => [at, celsius[0] ?? 0]))
        const fit = fitOneNode(
          shown.map((p) => ({ ...p, room: roomAt.get(p.at) ?? 0 })),
          0,
        )
        return Math.log((fit?.tau ?? 0) / hours(2)) / (fit?.share ?? 1)
      })
      expectHonest(distances)
    })

    test('so do the three constants of air and load', () => {
      const truth = practiceCurve([room, air, load], hours(12), 1)
      const distances = seeds.map((seed) => {
        const ofAir = shownBy(truth, { place: 1, ...probe }, seed)
        const ofLoad = shownBy(truth, { place: 2, ...probe }, seed)
        const readings = ofAir.map(({ at, celsius }, i) => ({
          at,
          air: celsius,
          load: ofLoad[i]?.celsius ?? 0,
          room: 20,
        }))
        const fit = fitTwoNodes(readings, 0)
        const { outside = 0, inside = 0, load: behind = 0 } = fit?.constants ?? {}
        return [
          [outside, seconds(2000)] as const,
          [inside, seconds(1000)] as const,
          [behind, seconds(20_930)] as const,
        ].map(([found, true_], i) => Math.log(found / true_) / Math.sqrt(fit?.covariance[i]?.[i] ?? 0))
      })
      for (const i of [0, 1, 2]) expectHonest(distances.map((all) => all[i] ?? Infinity))
    })
  },
)

test('the errors of a probe that wanders for minutes go together, and the uncertainty knows', () => {
  const truth = practiceCurve([room, lump], hours(6), 1)
  expectHonest(
    seeds.map((seed) => {
      const random = seededRandom(seed)
      let wander = 0
      const shown = shownBy(truth, { place: 1, every: minutes(1), noise: 0, step: 0.001 }, seed).map((p) => {
        wander = 0.8 * wander + 0.06 * random.normal()
        return { ...p, celsius: p.celsius + wander }
      })
      const fit = tauFromStep(shown)
      return ((fit?.tau ?? 0) - hours(2)) / (fit?.tauUncertainty ?? 1)
    }),
  )
})

describe('not known yet', () => {
  const curve = (count: number, span: number, tau = hours(2)) =>
    Array.from({ length: count }, (_, i) => {
      const ms = Math.round((span * i) / (count - 1))
      return { at: later(curveStart, ms), celsius: 20 - 15 * Math.exp(-ms / tau), room: 20 }
    })

  test('of eleven readings; twelve of a clean curve are enough', () => {
    expect(tauFromStep(curve(fewestReadings - 1, hours(6)))).toBeNull()
    expect(fitOneNode(curve(fewestReadings - 1, hours(6)), 0)).toBeNull()
    expect(tauFromStep(curve(fewestReadings, hours(6)))?.tau).toBeCloseTo(hours(2), -2)
    expect(fitOneNode(curve(fewestReadings, hours(6)), 0)?.tau).toBeCloseTo(hours(2), -2)
  })

  test('of a stretch that has hardly bent, of a still one, of noise alone, of no time', () => {
    const truth = practiceCurve([room, lump], minutes(10), 1)
    const probe = { place: 1, every: seconds(10), noise: 0.2, step: 0.1 }
    const still = curve(60, hours(1)).map((p) => ({ ...p, celsius: 5 }))
    const noise = shownBy(
      practiceCurve([room, { ...lump, startsAt: 20 }], hours(6), 1),
      { ...probe, every: minutes(1) },
      3,
    )
    expect(tauFromStep(shownBy(truth, probe, 1))).toBeNull()
    expect(tauFromStep(still)).toBeNull()
    expect(tauFromStep(noise)).toBeNull()
    expect(tauFromStep(curve(20, hours(1)).map((p) => ({ ...p, at: curveStart })))).toBeNull()
    expect(tauFromStep([])).toBeNull()
    expect(fitTwoNodes([], 0)).toBeNull()
    expect(fitOneNode([], 0)).toBeNull()
  })

  test('of air and load that were never apart: the load gives nothing away', () => {
    const together = curve(200, hours(6)).map(({ at, celsius }) => ({
      at,
      air: celsius,
      load: celsius,
      room: 20,
    }))
    expect(fitTwoNodes(together, 0)).toBeNull()
  })

  test('a room known to 2 K only makes a constant of 12 h uncertain by a seventh, and says so', () => {
    const slow = curve(61, hours(1), hours(11.9931))
    const fit = fitOneNode(slow, 2)
    // (11.9931 − 10.3253)/11.9931 = 0.139 downwards and 0.139 upwards (recomputed: ln of 13.66/11.99).
    expect(fit?.share).toBeGreaterThan(0.12)
    expect(fit?.share).toBeLessThan(0.16)
    expect(fitOneNode(slow, 0)?.share).toBeLessThan(0.01)
    expect(fitOneNode(slow, 5)).toBeNull()
  })
})

describe('least squares', () => {
  test('a straight line has the textbook uncertainties (s²/Σ(x − x̄)², recomputed)', () => {
    const x = [0, 1, 2, 3, 4, 5]
    const y = [0.1, 0.9, 2.2, 2.8, 4.1, 4.9]
    const fit = fitLeastSquares(([a = 0, b = 0]) => y.map((v, i) => v - a - b * (x[i] ?? 0)), [0, 0])
    const slope = x.reduce((sum, v, i) => sum + (v - 2.5) * (y[i] ?? 0), 0) / 17.5
    const mean = 15 / 6
    const squares = x.reduce((sum, v, i) => sum + ((y[i] ?? 0) - mean - slope * (v - 2.5)) ** 2, 0)
    expect(fit?.values[1]).toBeCloseTo(slope, 8)
    // Its residuals alternate, so nothing widens the covariance.
    expect(Math.sqrt(fit?.covariance[1]?.[1] ?? 0)).toBeCloseTo(Math.sqrt(squares / 4 / 17.5), 8)
  })

  test('no more data than parameters, or a parameter that moves nothing, settle nothing', () => {
    expect(fitLeastSquares(([a = 0]) => [1 - a], [0])).toBeNull()
    expect(fitLeastSquares(([a = 0]) => [1 - a, 2 - a, 3 - a], [0, 7])).toBeNull()
  })

  test('any clean step is found again', () => {
    fc.assert(
      fc.property(
        fc.double({ min: Math.log(minutes(2)), max: Math.log(hours(40)), noNaN: true }),
        fc.double({ min: -10, max: 30, noNaN: true }),
        fc.double({ min: 1, max: 30, noNaN: true }),
        fc.boolean(),
        (logTau, final, size, isUp) => {
          const tau = Math.exp(logTau)
          const step = isUp ? -size : size
          const points = Array.from({ length: 60 }, (_, i) => {
            const ms = Math.round((3 * tau * i) / 59)
            return { at: instant(curveStart + ms), celsius: final + step * Math.exp(-ms / tau) }
          })
          const fit = tauFromStep(points)
          expect((fit?.tau ?? 0) / tau).toBeCloseTo(1, 4)
          expect(fit?.final).toBeCloseTo(final, 3)
        },
      ),
      { numRuns: 60 },
    )
  })
})
