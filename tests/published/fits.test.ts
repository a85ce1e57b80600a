import { levenbergMarquardt } from 'ml-levenberg-marquardt'
import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../daemon/practice/random.ts'
import { instant } from '../../schemas/amounts.ts'
import { fitOneNode, fitTwoNodes, type NodesReading } from '../../shared/thermal/fit-nodes.ts'
import { fitLeastSquares } from '../../shared/thermal/least-squares.ts'
import { tauFromStep } from '../../shared/thermal/step-response.ts'

/*
 * A general-purpose Levenberg–Marquardt written apart from ours, on the same readings: both look for the least sum of
 * squares, so that they must meet far inside the uncertainty that noise leaves.
 */
function oracle(
  x: readonly number[],
  y: readonly number[],
  curve: (values: readonly number[]) => (x: number) => number,
  initialValues: readonly number[],
): readonly number[] {
  const fitted = levenbergMarquardt({ x: [...x], y: [...y] }, (values) => curve(values), {
    initialValues: [...initialValues],
    gradientDifference: initialValues.map(() => 1e-5),
    centralDifference: true,
    damping: 1e-3,
    improvementThreshold: 1e-12,
    errorTolerance: 1e-14,
    maxIterations: 200,
  })
  return fitted.parameterValues
}

/** Two searches of the same valley may stop this far apart, as a share of the stated standard uncertainty. */
const meet = 0.02

interface Shown {
  readonly noise: number
  readonly step: number
}
const probes: readonly Shown[] = [
  { noise: 0.05, step: 1 / 16 },
  { noise: 0.1, step: 0.1 },
  { noise: 0.03, step: 0.01 },
]

const shown = (truth: readonly number[], { noise, step }: Shown, seed: number): number[] => {
  const random = seededRandom(seed)
  return truth.map((value) => Math.round((value + noise * random.normal()) / step) * step)
}

/** Hours of readings, a fixed number of them an hour. */
const times = (hours: number, perHour: number): number[] =>
  Array.from({ length: hours * perHour + 1 }, (_, i) => i / perHour)
const at = (hours: number) => instant(1_800_000_000_000 + Math.round(hours * 3_600_000))

/** A step to 20 °C with a time constant of 2 h from 5 °C (Newton's law, lumped capacitance). */
const [from, room, tau] = [5, 20, 2]
const oneHours = times(6, 30)
const oneTruth = oneHours.map((t) => room + (from - room) * Math.exp(-t / tau))

/** Air and load at 5 °C in a room at 20 °C; hours. The exponential of a 2 × 2 matrix, written out (Putzer). */
const nodes = { outside: 2000 / 3600, inside: 1000 / 3600, load: 20_930 / 3600 }
function twoNodes(
  [outside = 1, inside = 1, load = 1, air = 0, start = 0]: readonly number[],
  t: number,
): readonly [number, number] {
  const [a, b, c] = [-(1 / outside + 1 / inside), 1 / inside, 1 / load]
  const [mean, half] = [(a - c) / 2, (a + c) / 2]
  const q = Math.sqrt(half ** 2 + b * c)
  const [e, cosh, sinh] = [Math.exp(mean * t), Math.cosh(q * t), Math.sinh(q * t) / q]
  const [x, y] = [air - room, start - room]
  return [
    room + e * (cosh * x + sinh * (half * x + b * y)),
    room + e * (cosh * y + sinh * (c * x - half * y)),
  ]
}
const twoHours = times(12, 10)
const twoTruth = [0, 1].map((i) =>
  twoHours.map((t) => twoNodes([nodes.outside, nodes.inside, nodes.load, 5, 5], t)[i] ?? 0),
)

function readingsOf(probe: Shown, seed: number): readonly NodesReading[] {
  const [air = [], load = []] = twoTruth.map((truth, i) => shown(truth, probe, 2 * seed + i))
  return twoHours.map((t, i) => ({ at: at(t), air: air[i] ?? 0, load: load[i] ?? 0, room }))
}

describe('NIST StRD, nonlinear regression, Misra1a (certified values from memory)', () => {
  const x = [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760]
  const y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78]
  const residuals = ([b1 = 0, logB2 = 0]: readonly number[]) =>
    y.map((value, i) => value - 100 * b1 * (1 - Math.exp(-Math.exp(logB2) * (x[i] ?? 0))))

  test.each([
    { name: 'first', start: [5, Math.log(1e-4)] },
    { name: 'second', start: [2.5, Math.log(5e-4)] },
  ])('from its $name start: 238.94212918 and 5.5015643181e−4, to eight digits', ({ start }) => {
    const fitted = fitLeastSquares(residuals, start)
    const [b1 = 0, logB2 = 0] = fitted?.values ?? []
    expect(Math.abs((100 * b1) / 238.94212918 - 1)).toBeLessThan(1e-7)
    expect(Math.abs(Math.exp(logB2) / 5.5015643181e-4 - 1)).toBeLessThan(1e-7)
    expect(Math.abs((fitted?.sd ?? 0) / 0.1018787633 - 1)).toBeLessThan(1e-6)
  })

  test('standard deviations 2.7070075241 and 7.2668688436e−6, but for what neighbours that go together add', () => {
    const fitted = fitLeastSquares(residuals, [2.5, Math.log(5e-4)])
    const left = residuals(fitted?.values ?? [])
    const squares = left.reduce((sum, r) => sum + r * r, 0)
    const r = Math.max(0, left.slice(1).reduce((sum, one, i) => sum + one * (left[i] ?? 0), 0) / squares)
    const wider = Math.sqrt((1 + r) / (1 - r))
    const [b1, logB2] = [0, 1].map((i) => Math.sqrt(fitted?.covariance[i]?.[i] ?? 0) / wider)
    expect((100 * (b1 ?? 0)) / 2.7070075241).toBeCloseTo(1, 4)
    expect(((logB2 ?? 0) * 5.5015643181e-4) / 7.2668688436e-6).toBeCloseTo(1, 4)
  })
})

describe.each(probes)('beside ml-levenberg-marquardt, noise $noise K in steps of $step K (L11)', (probe) => {
  const seeds = [1, 2, 3, 4, 5]

  test('the answer to a step: time constant and end lie within a fiftieth of their uncertainties', () => {
    for (const seed of seeds) {
      const values = shown(oneTruth, probe, seed)
      const ours = tauFromStep(values.map((celsius, i) => ({ at: at(oneHours[i] ?? 0), celsius })))
      const [end = 0, , logTau = 0] = oracle(
        oneHours,
        values,
        ([final = 0, step = 0, log = 0]) =>
          (t) =>
            final + step * Math.exp(-t * Math.exp(-log)),
        [18, -12, 0.3],
      )
      if (ours === null) throw new Error(`seed ${seed}: not known yet`)
      const off = Math.abs(ours.tau / 3_600_000 - Math.exp(logTau)) / (ours.tauUncertainty / 3_600_000)
      expect(off, `seed ${seed}`).toBeLessThan(meet)
      expect(Math.abs(ours.final - end) / ours.finalUncertainty, `seed ${seed}`).toBeLessThan(meet)
    }
  })

  test('one lump in a room that is known', () => {
    for (const seed of seeds) {
      const values = shown(oneTruth, probe, seed)
      const ours = fitOneNode(
        values.map((celsius, i) => ({ at: at(oneHours[i] ?? 0), celsius, room })),
        0,
      )
      const [logTau = 0] = oracle(
        oneHours,
        values,
        ([log = 0, start = 0]) =>
          (t) =>
            room + (start - room) * Math.exp(-t * Math.exp(-log)),
        [0.3, 6],
      )
      if (ours === null) throw new Error(`seed ${seed}: not known yet`)
      expect(Math.abs(Math.log(ours.tau / 3_600_000) - logTau) / ours.share, `seed ${seed}`).toBeLessThan(
        meet,
      )
    }
  })

  test('air and load: all three constants', () => {
    for (const seed of seeds) {
      const readings = readingsOf(probe, seed)
      const ours = fitTwoNodes(readings, 0)
      const n = readings.length
      const theirs = oracle(
        Array.from({ length: 2 * n }, (_, i) => i),
        [...readings.map(({ air }) => air), ...readings.map(({ load }) => load)],
        ([outside = 0, inside = 0, load = 0, air = 0, start = 0]) => {
          const values = [Math.exp(outside), Math.exp(inside), Math.exp(load), air, start]
          return (i) => twoNodes(values, twoHours[i % n] ?? 0)[i < n ? 0 : 1]
        },
        [Math.log(0.7), Math.log(0.3), Math.log(5), 5.2, 4.9],
      )
      if (ours === null) throw new Error(`seed ${seed}: not known yet`)
      const { outside, inside, load } = ours.constants
      for (const [i, found] of [outside, inside, load].entries()) {
        const off = Math.log(found / 3_600_000) - (theirs[i] ?? 0)
        expect(Math.abs(off) / Math.sqrt(ours.covariance[i]?.[i] ?? 0), `seed ${seed}, ${i}`).toBeLessThan(
          meet,
        )
      }
    }
  })
})

/** Shares of distances, in stated standard uncertainties, within one and within two; a normal law has 68.3 % and 95.4 %. */
function expectCovered(distances: readonly number[], least: number): void {
  const within = (k: number) => distances.filter((z) => Math.abs(z) <= k).length / distances.length
  expect(distances.length).toBeGreaterThanOrEqual(100)
  expect(distances.every(Number.isFinite)).toBe(true)
  // Four binomial standard deviations below and above; the stated one may be too wide by a little, for an autocorrelation
  // below 0 never makes it narrower.
  const by = (p: number) => 4 * Math.sqrt((p * (1 - p)) / distances.length)
  expect(within(1)).toBeGreaterThan(0.683 - by(0.683) - least)
  expect(within(1)).toBeLessThan(0.683 + by(0.683) + 0.06)
  expect(within(2)).toBeGreaterThan(0.954 - by(0.954) - least)
}

describe.each([
  ...probes.map((probe) => ({ ...probe, least: 0 })),
  // Less noise than a step: what rounding does to neighbours is allowed for only roughly.
  { noise: 0.02, step: 0.1, least: 0.05 },
])(
  'coverage, noise $noise K in steps of $step K: the stated uncertainty holds the truth as often as it says (L11)',
  (probe) => {
    test('of the answer to a step, over 300 seeds', () => {
      const fits = Array.from({ length: 300 }, (_, seed) =>
        tauFromStep(
          shown(oneTruth, probe, seed).map((celsius, i) => ({ at: at(oneHours[i] ?? 0), celsius })),
        ),
      )
      expectCovered(
        fits.map(
          (fit) => ((fit?.tau ?? Number.NaN) / 3_600_000 - tau) / ((fit?.tauUncertainty ?? 0) / 3_600_000),
        ),
        probe.least,
      )
      expectCovered(
        fits.map((fit) => ((fit?.final ?? Number.NaN) - room) / (fit?.finalUncertainty ?? 0)),
        probe.least,
      )
    })

    test('of one lump, over 300 seeds', () => {
      const fits = Array.from({ length: 300 }, (_, seed) =>
        fitOneNode(
          shown(oneTruth, probe, seed).map((celsius, i) => ({ at: at(oneHours[i] ?? 0), celsius, room })),
          0,
        ),
      )
      expectCovered(
        fits.map((fit) => Math.log((fit?.tau ?? Number.NaN) / 3_600_000 / tau) / (fit?.share ?? 0)),
        probe.least,
      )
    })

    test('of air and load, over 100 seeds', () => {
      const fits = Array.from({ length: 100 }, (_, seed) => fitTwoNodes(readingsOf(probe, 1000 + seed), 0))
      for (const [i, name] of (['outside', 'inside', 'load'] as const).entries())
        expectCovered(
          fits.map(
            (fit) =>
              Math.log((fit?.constants[name] ?? Number.NaN) / 3_600_000 / nodes[name]) /
              Math.sqrt(fit?.covariance[i]?.[i] ?? 0),
          ),
          probe.least,
        )
    })
  },
)
