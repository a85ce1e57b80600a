import { describe, expect, it, test } from 'vitest'
import { Calibration } from '../../schemas/calibration.ts'
import { days, instant, later, minutes } from '../../schemas/amounts.ts'
import {
  calibrated,
  correctionUncertainty,
  onePoint,
  twoPoint,
  type Correction,
} from '../../shared/sensing/calibration.ts'
import {
  chanceTrueAbove,
  chanceTrueWithin,
  guardedBand,
  isAccepted,
  zoneOf,
} from '../../shared/sensing/conformance.ts'
import { bathHalfWidth, steadySteps } from '../../shared/sensing/ice-point.ts'
import { keptEvery, readingsForSteady } from '../../shared/sensing/ice-point-readings.ts'
import { icePointSteps } from '../../shared/sensing/ice-point-steps.ts'
import {
  budgetOf,
  rectangular,
  repeatabilityLine,
  resolutionLine,
  sumOf,
} from '../../shared/sensing/uncertainty.ts'

const checkedAt = instant(Date.UTC(2026, 0, 10))
const aYearOn = later(checkedAt, days(365))

/** A DS18B20: ±0.5 K and steps of 1/16 K by its data sheet (from memory). */
const bare = { type: 'ds18b20', calibrations: [] } as const

/** In a careful ice bath (ASTM E563, ±0.01 K, from memory), scatter of the mean 0.03 K: the probe showed 0.31. */
const inIce = sumOf([rectangular('bath', 0.01, ''), resolutionLine(1 / 16), repeatabilityLine(0.03)])
const iced = {
  ...bare,
  calibrations: [
    Calibration.parse({
      from: checkedAt,
      quantity: 'temperature',
      offset: -0.31,
      uncertainty: inIce.u,
      references: [{ raw: 0.31, true: 0, uncertainty: inIce.u }],
      method: 'icePoint',
      by: 'Ada',
    }),
  ],
}

describe('JCGM 100:2008 (GUM): standard uncertainties by type B (recomputed)', () => {
  it('takes a rectangular ±0.5 as 0.2887 (4.3.7) and a step of 1/16 as 0.0180 (F.2.2.1)', () => {
    expect(rectangular('dataSheet', 0.5, '').u).toBeCloseTo(0.2887, 4)
    expect(resolutionLine(1 / 16).u).toBeCloseTo(0.018, 4)
  })

  // u, then U with k = 2; computed from the GUM's formulas.
  const budgets = [
    ['data sheet only', bare, 0.2892, 0.578],
    ['checked in a careful ice bath a year ago', iced, 0.0701, 0.14],
    ['the same, and a spot ±0.5 K from the animal', { ...iced, placement: 0.5 }, 0.2971, 0.594],
  ] as const
  it.each(budgets)('L9: a DS18B20, %s', (_, sensor, u, expanded) => {
    const budget = budgetOf(sensor, 'temperature', { at: aYearOn, raw: 5 })
    expect(budget.u).toBeCloseTo(u, 4)
    expect(budget.expanded).toBeCloseTo(expanded, 3)
  })
})

describe('two-point correction, recomputed: 0.31 shown at 0.00 and 20.56 at 20.00', () => {
  const ice = { raw: 0.31, true: 0, uncertainty: 0.02 }
  const room = { raw: 20.56, true: 20, uncertainty: 0.1 }
  const result = twoPoint('temperature', ice, room)
  if (!result.ok) throw new Error(result.sentence)
  const correction: Correction = result.value
  const calibration = Calibration.parse({
    ...correction,
    from: checkedAt,
    quantity: 'temperature',
    method: 'twoPoint',
    by: 'Ada',
  })

  it('has gain 0.9876543 and offset −0.3061728', () => {
    expect(correction.gain).toBeCloseTo(0.9876543, 7)
    expect(correction.offset).toBeCloseTo(-0.3061728, 7)
  })

  it.each([
    [5.25, 4.879],
    [8, 7.5951],
    [0.31, 0],
    [20.56, 20],
  ])('makes of %f the value %f', (raw, value) => {
    expect(calibrated([calibration], 'temperature', checkedAt, raw)).toBeCloseTo(value, 4)
  })

  // GUM 5.1.2 on a weighted mean of two references that know nothing of each other.
  it.each([
    [0.31, 0.02],
    [5.25, 0.0287],
    [10, 0.049],
    [20.56, 0.1],
  ])('GUM 5.1.2: is known at %f to %f', (raw, u) => {
    expect(correctionUncertainty(calibration, raw)).toBeCloseTo(u, 4)
  })
})

test('where only the ice is known, its offset alone: x − 0.31, and as sure of it as of the ice', () => {
  const found = onePoint('temperature', { raw: 0.31, true: 0, uncertainty: 0.02 })
  if (!found.ok) throw new Error(found.sentence)
  const calibration = Calibration.parse({
    ...found.value,
    from: checkedAt,
    quantity: 'temperature',
    method: 'icePoint',
    by: 'Ada',
  })
  for (const raw of [0.31, 5.25, 8, 20.56]) {
    expect(calibrated([calibration], 'temperature', checkedAt, raw)).toBeCloseTo(raw - 0.31, 9)
    expect(correctionUncertainty(calibration, raw)).toBeCloseTo(0.02, 9)
  }
})

describe('ASTM E563, the ice bath (procedure and figures from memory)', () => {
  it('is told in its order: clean, crush, fill, add water to below the top, drain, wait 15 to 30 min, ten diameters deep', () => {
    const order = [
      /Wash/,
      /Crush/,
      /Fill/,
      /below the top/,
      /15 to 30 minutes\. Pour off/,
      /ten times its thickness.*away from wall/,
    ]
    const found = order.map((one) => icePointSteps.findIndex(({ text }) => one.test(text)))
    expect(found.every((i) => i >= 0)).toBe(true)
    expect(found).toEqual(found.toSorted((one, other) => one - other))
  })

  it('is ±0.01 K as routine and ±0.1 K of a kitchen, never the ±0.002 K of great care', () => {
    expect(bathHalfWidth).toEqual({ careful: 0.01, kitchen: 0.1 })
    expect(Math.min(...Object.values(bathHalfWidth))).toBeGreaterThan(0.002)
  })

  it('gives its figure from five readings in two minutes within one step', () => {
    expect([readingsForSteady, (readingsForSteady - 1) * keptEvery, steadySteps]).toEqual([5, minutes(2), 1])
  })
})

describe('JCGM 106:2012, normal case: chance of conformity, recomputed', () => {
  it.each([
    [5, 1],
    [2.58, 0.9775],
    [8.3, 0.1498],
  ])('2 to 8 °C, reading %f with u 0.2892: %f', (value, chance) => {
    expect(chanceTrueWithin({ low: 2, high: 8 }, { value, u: 0.2892 })).toBeCloseTo(chance, 4)
  })

  it.each([
    [7, 0.0003, 4],
    [7.42, 0.0225, 4],
    [7.7, 0.15, 3],
    [8, 0.5, 6],
  ])('true above 8 °C, reading %f: %f', (value, chance, digits) => {
    expect(chanceTrueAbove(8, { value, u: 0.2892 })).toBeCloseTo(chance, digits)
  })
})

describe('ILAC-G8:09/2019, 4: guard bands', () => {
  it('L9: w = U moves 2.0 to 8.0 °C to 2.58 to 7.42 by the data sheet, to 2.14 to 7.86 after the ice (recomputed)', () => {
    const limits = [bare, iced].map((sensor) => {
      const { expanded } = budgetOf(sensor, 'temperature', { at: aYearOn, raw: 5 })
      const guarded = guardedBand({ low: 2, high: 8 }, expanded)
      return guarded.ok ? [guarded.value.low?.toFixed(2), guarded.value.high?.toFixed(2)] : guarded.sentence
    })
    expect(limits).toEqual([
      ['2.58', '7.42'],
      ['2.14', '7.86'],
    ])
  })

  // Risk at the acceptance limit, Φ(−2r) for a guard band of r·U; recomputed.
  it.each([
    [0, 0.5, 5],
    [1, 0.02275, 5],
    [0.83, 0.0485, 4],
    [1.5, 0.00135, 5],
    // Less than one in a million.
    [3, 1e-9, 9],
  ])('a guard band of %f U leaves a risk of %f at the limit', (r, risk, digits) => {
    const expanded = 0.4
    const value = 8 - r * expanded
    expect(isAccepted({ high: 8 }, value, r * expanded)).toBe(true)
    expect(isAccepted({ high: 8 }, value + 1e-9, r * expanded)).toBe(false)
    expect(chanceTrueAbove(8, { value, u: expanded / 2 })).toBeCloseTo(risk, digits)
  })

  test('a guard band of −U rejects only what is out in truth but for a chance of less than 2.5 of 100 (recomputed: 2.275)', () => {
    const [u, expanded] = [0.2, 0.4]
    const [low, high] = [2 - expanded, 8 + expanded]
    for (const value of [low, high]) expect(isAccepted({ low: 2, high: 8 }, value, -expanded)).toBe(true)
    for (const value of [low - 1e-9, high + 1e-9]) {
      expect(isAccepted({ low: 2, high: 8 }, value, -expanded)).toBe(false)
      expect(chanceTrueWithin({ low: 2, high: 8 }, { value, u })).toBeCloseTo(0.02275, 5)
    }
  })

  test('4.2.3: pass to TL − w, conditional pass to TL, conditional fail to TL + w, else fail', () => {
    const zones = [7.5, 7.51, 8, 8.01, 8.5, 8.51].map((value) => zoneOf({ low: 2, high: 8 }, value, 0.5))
    expect(zones).toEqual([
      'pass',
      'conditionalPass',
      'conditionalPass',
      'conditionalFail',
      'conditionalFail',
      'fail',
    ])
    const cold = [2.5, 2.49, 2, 1.99, 1.5, 1.49].map((value) => zoneOf({ low: 2, high: 8 }, value, 0.5))
    expect(cold).toEqual(zones)
  })
})
