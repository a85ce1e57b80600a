import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../daemon/practice/random.ts'
import { days, hours, minutes, seconds } from '../../schemas/amounts.ts'
import { bareThreshold, type Baseline, thresholdWithDwell } from '../trials/baselines.ts'
import { bandOf } from '../trials/band.ts'
import { harmWatch } from '../trials/harm.ts'
import { listening } from '../trials/listening.ts'
import { poissonBounds, quantile } from '../trials/figures.ts'
import { drawSetting } from '../trials/setting.ts'
import { covering } from '../trials/span.ts'
import { isFalse, type Truth } from '../trials/verdict.ts'

describe('harm', () => {
  const band = bandOf('testudo-hermanni')

  test('is at once at the low critical limit, and not a hundredth above it', () => {
    const watch = harmWatch(band)
    watch.see(0, 1.01)
    expect(watch.harm()).toBeNull()
    watch.see(60_000, 1)
    expect(watch.harm()).toEqual({ at: 60_000, side: 'low' })
  })

  test('needs half an hour without a break at the high one', () => {
    const watch = harmWatch(band)
    for (let m = 0; m < 30; m++) watch.see(m * 60_000, 10)
    watch.see(30 * 60_000, 9.99)
    for (let m = 31; m < 61; m++) watch.see(m * 60_000, 10)
    expect(watch.harm()).toBeNull()
    watch.see(61 * 60_000, 10)
    expect(watch.harm()).toEqual({ at: 61 * 60_000, side: 'high' })
  })

  test('limits are the species profile’s own, by strict guidance', () => {
    expect(band).toEqual({ lowCritical: 1, low: 3, high: 7, highCritical: 10 })
    expect(bandOf('python-regius')).toEqual({ lowCritical: 17, low: 20, high: 34, highCritical: 35 })
  })
})

describe('the baselines', () => {
  /** Minutes at which it rings, of readings every 10 min. */
  const rings = (baseline: Baseline, values: readonly number[]): number[] =>
    values.flatMap((value, i) => {
      const rang = baseline.reading(value, minutes(10 * i))
      return rang || baseline.timePassed(minutes(10 * i)) ? [10 * i] : []
    })
  const who = { low: -0.5, high: 8 }
  const of = (n: number, value: number): number[] => Array.from({ length: n }, () => value)

  // Dwell times of WHO/PQS/E006 30-day recorders: −0.5 °C or below for 60 min; above 8 °C for 10 h (seen second-hand).
  test.each([
    { name: '−0.5 °C throughout', values: of(31, -0.5), at: [60] },
    { name: '−0.4 °C for 5 h', values: of(31, -0.4), at: [] },
    { name: '−0.5 °C for 50 min, then 1 °C at 60', values: [...of(6, -0.5), ...of(6, 1)], at: [] },
    { name: '8.1 °C throughout', values: of(70, 8.1), at: [600] },
    {
      name: '24 h of 30 min at 9 and 30 min at 7.5 °C',
      values: Array.from({ length: 144 }, (_, i) => (i % 6 < 3 ? 9 : 7.5)),
      at: [],
    },
  ])('with dwell: $name', ({ values, at }) => {
    expect(rings(thresholdWithDwell(who), values)).toEqual(at)
  })

  test('the last value holds while nothing is heard', () => {
    const baseline = thresholdWithDwell(who)
    baseline.reading(-1, 0)
    expect(baseline.timePassed(minutes(60) - 1)).toBe(false)
    expect(baseline.timePassed(minutes(60))).toBe(true)
    expect(baseline.timePassed(minutes(90))).toBe(false)
  })

  test('bare: each passing from inside rings, at the limit itself too; fault codes do not', () => {
    const { reading } = bareThreshold({ low: 1, high: 10 })
    expect([5, 1, 0.5, 1.01, 0.9, 10, 9.99, 10.5].map((value) => reading(value, 0))).toEqual([
      false,
      true,
      false,
      false,
      true,
      false,
      false,
      true,
    ])
    const fresh = bareThreshold({ low: 1, high: 10 })
    expect([85, -127, 0].map((value) => fresh.reading(value, 0))).toEqual([false, false, false])
  })
})

describe('a false alarm', () => {
  const stepMs = minutes(1)
  const calm = (change: (truth: Float32Array) => void, more: Partial<Truth> = {}): Truth => {
    const truth = new Float32Array(days(1) / stepMs).fill(5)
    change(truth)
    return {
      band: bandOf('testudo-hermanni'),
      start: 0,
      stepMs,
      truth,
      begins: null,
      harm: null,
      isFaultAtWork: () => false,
      tended: [],
      ...more,
    }
  }
  const noon = { at: hours(12) }

  test('has the truth inside its warning limits from 1 h before to 2 h after', () => {
    expect(
      isFalse(
        noon,
        calm(() => {}),
      ),
    ).toBe(true)
    expect(
      isFalse(
        noon,
        calm((truth) => (truth[hours(11) / stepMs] = 7)),
      ),
    ).toBe(false)
    expect(
      isFalse(
        noon,
        calm((truth) => (truth[hours(11) / stepMs - 1] = 7)),
      ),
    ).toBe(true)
    expect(
      isFalse(
        noon,
        calm((truth) => (truth[hours(14) / stepMs - 1] = 3)),
      ),
    ).toBe(false)
    expect(
      isFalse(
        noon,
        calm((truth) => (truth[hours(14) / stepMs] = 3)),
      ),
    ).toBe(true)
  })

  test('is none while a fault is at work, nor while the keeper has said that the place is open', () => {
    expect(
      isFalse(
        noon,
        calm(() => {}, { isFaultAtWork: (at) => at === noon.at }),
      ),
    ).toBe(false)
    expect(
      isFalse(
        noon,
        calm(() => {}, { tended: [{ from: hours(11), to: noon.at + 1 }] }),
      ),
    ).toBe(false)
    expect(
      isFalse(
        noon,
        calm(() => {}, { tended: [{ from: hours(11), to: noon.at }] }),
      ),
    ).toBe(true)
  })
})

test('the span that covers an instant is found for instants that only grow', () => {
  const bounds = fc
    .array(fc.nat(50), { maxLength: 12 })
    .map((list) => [...new Set(list)].sort((a, b) => a - b))
  fc.assert(
    fc.property(bounds, (list) => {
      const spans = list.flatMap((from, i) => (i % 2 === 0 ? [{ from, to: list[i + 1] ?? from + 3 }] : []))
      const at = covering(spans)
      for (let t = 0; t < 60; t++)
        expect(at(t)).toBe(spans.find(({ from, to }) => from <= t && t < to) ?? null)
    }),
  )
})

test('figures: nearest-rank quantiles, and the exact Poisson bounds of 0, 3 and 10 to a twentieth', () => {
  expect(quantile([1, 2, 3, 4], 0.5)).toBe(2)
  expect(quantile([1, 2, 3, 4], 0.05)).toBe(1)
  expect(quantile([], 0.5)).toBeNull()
  // Exact bounds from chi-squared tables (value from memory): 0 → 3.69, 3 → 0.62 to 8.77, 10 → 4.80 to 18.39.
  expect(poissonBounds(0)[1]).toBeCloseTo(3.69, 1)
  expect(poissonBounds(3)[0]).toBeCloseTo(0.62, 1)
  expect(poissonBounds(3)[1]).toBeCloseTo(8.77, 1)
  expect(poissonBounds(10)[0]).toBeCloseTo(4.8, 1)
  expect(poissonBounds(10)[1]).toBeCloseTo(18.39, 1)
})

test('N1: time passes for the judge and the baselines while nothing is heard', () => {
  const setting = drawSetting('none', seededRandom(1))
  const ears = listening(setting, bandOf(setting.species), [])
  const { start } = setting
  const probe = setting.probes[0]?.id ?? ''
  ears.hear([{ probe, at: start + 1000, value: -3, heardAt: start + 1400 }], start + minutes(1))
  ears.hear([], start + minutes(59))
  expect(ears.told.judge.map(({ kind }) => kind)).toContain('silent')
  expect(ears.told.bare).toMatchObject([{ at: start + 1400 }])
  expect(ears.told.dwell).toEqual([])
  ears.hear([], start + minutes(62))
  expect(ears.told.dwell).toMatchObject([{ at: start + minutes(60) + seconds(30) }])
})
