import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { Calibration } from '../../schemas/calibration.ts'
import { mostOffset } from '../../schemas/calibration-bounds.ts'
import { Sensor, SensorType } from '../../schemas/sensor.ts'
import { days, instant, later } from '../../schemas/amounts.ts'
import {
  calibrated,
  calibrationAt,
  correctionUncertainty,
  onePoint,
  rawOf,
  twoPoint,
} from '../../shared/sensing/calibration.ts'
import {
  chanceTrueAbove,
  chanceTrueBelow,
  chanceTrueWithin,
  guardedBand,
  guardedLimit,
  zoneOf,
} from '../../shared/sensing/conformance.ts'
import { dataSheets } from '../../shared/sensing/data-sheet.ts'
import { budgetOf } from '../../shared/sensing/uncertainty.ts'

const start = instant(Date.UTC(2026, 0, 10))
const a = (more: object = {}): Calibration =>
  Calibration.parse({
    from: start,
    quantity: 'temperature',
    offset: -0.3,
    uncertainty: 0.05,
    method: 'entered',
    by: 'Ada',
    ...more,
  })
const reference = (raw: number, truth: number, uncertainty = 0.05) => ({ raw, true: truth, uncertainty })

describe('which calibration counts', () => {
  const first = a()
  const second = a({ from: later(start, days(30)), offset: 0.2 })
  const damp = a({ quantity: 'humidity', offset: 4 })
  // In no order, as edits may leave them.
  const all = [second, damp, first]

  it('has none before the first instant, and that instant is the first with it', () => {
    expect(calibrationAt(all, 'temperature', later(start, -1))).toBeNull()
    expect(calibrationAt(all, 'temperature', start)).toBe(first)
  })

  it('lets a reading of the past keep the calibration of its own time', () => {
    expect(calibrationAt(all, 'temperature', later(second.from, -1))).toBe(first)
    expect(calibrationAt(all, 'temperature', second.from)).toBe(second)
    expect(calibrationAt(all, 'temperature', later(start, days(3000)))).toBe(second)
  })

  it('corrects each quantity by its own, and leaves what has none as it is', () => {
    expect(calibrated(all, 'temperature', start, 5)).toBeCloseTo(4.7, 12)
    expect(calibrated(all, 'humidity', start, 80)).toBe(84)
    expect(calibrated(all, 'battery', start, 80)).toBe(80)
    expect(calibrated(all, 'temperature', later(start, -1), 5)).toBe(5)
    expect(rawOf(all, 'temperature', later(start, -1), 5)).toBe(5)
  })
})

describe('what a sensor takes as calibrations', () => {
  const sensor = (calibrations: unknown[], more: object = {}) =>
    Sensor.safeParse({ id: 'one', name: 'One', place: null, topic: 'a/b', calibrations, ...more }).success
  const raw = { ...a(), references: [] }

  it('is none by default, and no two of one quantity from one instant', () => {
    expect(Sensor.parse({ id: 'one', name: 'One', place: null, topic: 'a/b' }).calibrations).toEqual([])
    expect(sensor([raw, { ...raw, offset: 1 }])).toBe(false)
    expect(sensor([raw, { ...raw, quantity: 'humidity' }])).toBe(true)
    expect(sensor([raw, { ...raw, from: start + 1 }])).toBe(true)
  })

  it('is 50 at most (X3)', () => {
    const many = (n: number) => Array.from({ length: n }, (_, i) => ({ ...raw, from: start + i }))
    expect(sensor(many(50))).toBe(true)
    expect(sensor(many(51))).toBe(false)
  })

  it('holds gain to 0.5 to 2, offset to ±20, both ends among them, and uncertainty to 0 or more', () => {
    for (const gain of [0.5, 2]) expect(sensor([{ ...raw, gain }])).toBe(true)
    for (const gain of [0.499, 2.001]) expect(sensor([{ ...raw, gain }])).toBe(false)
    for (const offset of [-mostOffset, mostOffset]) expect(sensor([{ ...raw, offset }])).toBe(true)
    for (const offset of [-20.001, 20.001]) expect(sensor([{ ...raw, offset }])).toBe(false)
    expect(sensor([{ ...raw, uncertainty: 0 }])).toBe(true)
    expect(sensor([{ ...raw, uncertainty: -0.001 }])).toBe(false)
  })

  it('has one reference for an ice point, two apart for two points', () => {
    const [ice, room] = [reference(0.3, 0), reference(20.5, 20)]
    const of = (method: string, references: object[]) => sensor([{ ...raw, method, references }])
    expect([of('icePoint', []), of('icePoint', [ice]), of('icePoint', [ice, room])]).toEqual([
      false,
      true,
      false,
    ])
    expect([of('twoPoint', [ice]), of('twoPoint', [ice, room]), of('twoPoint', [ice, ice])]).toEqual([
      false,
      true,
      false,
    ])
    expect(of('entered', [])).toBe(true)
  })

  it('refuses an accuracy of zero, and takes a placement of zero', () => {
    expect(sensor([], { accuracy: 0 })).toBe(false)
    expect(sensor([], { accuracy: 0.1, placement: 0 })).toBe(true)
    expect(sensor([], { placement: -0.1 })).toBe(false)
  })
})

describe('finding a correction', () => {
  it('takes an offset from one point, and is as sure of it as of the point', () => {
    expect(onePoint('temperature', reference(0.31, 0, 0.04))).toEqual({
      ok: true,
      value: { gain: 1, offset: -0.31, uncertainty: 0.04, references: [reference(0.31, 0, 0.04)] },
    })
  })

  it('refuses a correction of more than 5 K or 20 %: a broken sensor', () => {
    expect(onePoint('temperature', reference(5, 0)).ok).toBe(true)
    expect(onePoint('temperature', reference(5.01, 0))).toMatchObject({
      error: 'offsetTooFar',
      sentence:
        'A correction may be 5 K at most: this looks like a broken sensor rather than a need of correction.',
    })
    expect(onePoint('humidity', reference(55, 75)).ok).toBe(true)
    expect(onePoint('humidity', reference(54.9, 75))).toMatchObject({ error: 'offsetTooFar' })
    expect(twoPoint('temperature', reference(0, 0), reference(30, 24.9))).toMatchObject({
      error: 'offsetTooFar',
    })
  })

  it('refuses points less than 5 K apart, in either order', () => {
    expect(twoPoint('temperature', reference(0.1, 0), reference(5.1, 5)).ok).toBe(true)
    expect(twoPoint('temperature', reference(5.05, 5), reference(0.1, 0))).toMatchObject({
      error: 'pointsTooClose',
      sentence: 'The two points must be at least 5 K apart.',
    })
  })

  it('refuses a gain outside 0.5 to 2', () => {
    expect(twoPoint('temperature', reference(0, 0), reference(8, 4)).ok).toBe(true)
    expect(twoPoint('temperature', reference(0, 0), reference(8, 3.99))).toMatchObject({
      error: 'gainTooFar',
    })
    expect(twoPoint('temperature', reference(0, -2.5), reference(5, 7.5)).ok).toBe(true)
    expect(twoPoint('temperature', reference(0, -2.5), reference(5, 7.51))).toMatchObject({
      error: 'gainTooFar',
    })
  })

  it('refuses an offset that no calibration may have, though both points are near', () => {
    // At 50 and 56 °C within 4 K; the line through them meets 0 at −30.
    expect(twoPoint('temperature', reference(50, 46), reference(56, 60))).toMatchObject({
      error: 'offsetTooFar',
    })
  })

  it('refuses what is no number', () => {
    expect(onePoint('temperature', reference(Number.NaN, 0))).toMatchObject({ error: 'notNumbers' })
    expect(twoPoint('temperature', reference(0, 0), reference(Number.NaN, 20))).toMatchObject({
      error: 'notNumbers',
    })
    expect(onePoint('temperature', reference(0, 0, -1))).toMatchObject({ error: 'notNumbers' })
  })

  test('property: whatever is found fits the schema and puts each point where it is true', () => {
    const hundredths = (n: number): number => n / 100
    const value = fc.integer({ min: -3000, max: 6000 }).map(hundredths)
    const error = fc.integer({ min: -600, max: 600 }).map(hundredths)
    const u = fc.double({ min: 0, max: 1, noNaN: true })
    let found = 0
    fc.assert(
      fc.property(value, value, error, error, u, (one, other, e1, e2, uncertainty) => {
        const points = [
          reference(one, one + e1, uncertainty),
          reference(other, other + e2, uncertainty),
        ] as const
        const result = twoPoint('temperature', ...points)
        if (!result.ok) {
          expect(result.sentence).toMatch(/\.$/)
          return
        }
        found += 1
        const calibration = a({ ...result.value, method: 'twoPoint' })
        for (const point of points) {
          expect(calibrated([calibration], 'temperature', start, point.raw)).toBeCloseTo(point.true, 9)
        }
      }),
      { numRuns: 300 },
    )
    expect(found).toBeGreaterThan(50)
  })

  test('property: raw to value and back is the same', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: -55, max: 125, noNaN: true }),
        (gain, offset, raw) => {
          const all = [a({ gain, offset })]
          const value = calibrated(all, 'temperature', start, raw)
          expect(rawOf(all, 'temperature', start, value)).toBeCloseTo(raw, 9)
        },
      ),
    )
  })

  test('property: a value between two points is known no worse than the worse of them; beyond the surer, less than at it', () => {
    const u = fc.double({ min: 0.001, max: 1, noNaN: true })
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(u, u, share, fc.double({ min: 0.01, max: 5, noNaN: true }), (u1, u2, within, beyond) => {
        const line = { references: [reference(0, 0, u1), reference(20, 20, u2)], uncertainty: 0 }
        const at = (raw: number) => correctionUncertainty(line, raw)
        expect(at(20 * within)).toBeLessThanOrEqual(Math.max(u1, u2) + 1e-12)
        expect(at(-20 * beyond)).toBeGreaterThan(u1)
        expect(at(20 + 20 * beyond)).toBeGreaterThan(u2)
        expect(at(-20 * beyond - 1)).toBeGreaterThan(at(-20 * beyond))
      }),
    )
  })
})

describe('how sure a reading is (L9)', () => {
  const bare = { type: 'ds18b20', calibrations: [] } as const
  const whats = (budget: ReturnType<typeof budgetOf>) => budget.lines.map(({ what }) => what)

  it('counts the data sheet until a calibration is in force, then that and its drift', () => {
    const sensor = { ...bare, calibrations: [a()] }
    const before = budgetOf(sensor, 'temperature', { at: later(start, -1), raw: 5 })
    const after = budgetOf(sensor, 'temperature', { at: start, raw: 5 })
    expect(whats(before)).toEqual(['dataSheet', 'resolution'])
    expect(whats(after)).toEqual(['calibration', 'drift', 'resolution'])
    expect(after.lines[1]).toMatchObject({ halfWidth: 0, u: 0 })
    expect(after.u).toBeLessThan(before.u)
  })

  it('lets drift grow by 0.1 K a year, up to the data sheet’s own half-width', () => {
    const sensor = { ...bare, calibrations: [a()] }
    const drift = (years: number) =>
      budgetOf(sensor, 'temperature', { at: later(start, days(365 * years)), raw: 5 }).lines[1]
    expect(drift(1)).toMatchObject({ what: 'drift', halfWidth: 0.1 })
    expect(drift(4)).toMatchObject({ halfWidth: 0.4 })
    expect(drift(5)).toMatchObject({ halfWidth: 0.5 })
    expect(drift(6)).toMatchObject({ halfWidth: 0.5 })
  })

  it('takes the keeper’s accuracy for temperature in place of the type’s, and not for humidity', () => {
    const sensor = { type: 'sht3x', calibrations: [], accuracy: 0.2 } as const
    const line = (quantity: 'temperature' | 'humidity') =>
      budgetOf(sensor, quantity, { at: start, raw: 5 }).lines[0]
    expect(line('temperature')).toMatchObject({ halfWidth: 0.2 })
    expect(line('temperature')?.says).toContain('your figure')
    expect(line('humidity')).toMatchObject({ halfWidth: 2 })
    expect(line('humidity')?.says).toContain('from memory')
  })

  it('counts scatter and placement where they are known; placement only for temperature', () => {
    const sensor = { ...bare, placement: 0.5 }
    const reading = { at: start, raw: 5, repeatability: 0.03 }
    expect(whats(budgetOf(sensor, 'temperature', reading))).toEqual([
      'dataSheet',
      'resolution',
      'repeatability',
      'placement',
    ])
    expect(whats(budgetOf(sensor, 'humidity', reading))).not.toContain('placement')
  })

  it('GUM 5.1.3: stretches what is raw by the gain', () => {
    const sensor = { ...bare, calibrations: [a({ gain: 2 })] }
    const { lines } = budgetOf(sensor, 'temperature', { at: start, raw: 5, repeatability: 0.03 })
    expect(lines[2]).toMatchObject({ what: 'resolution', halfWidth: 1 / 16 })
    expect(lines[3]).toMatchObject({ what: 'repeatability', standard: 0.06 })
  })

  it('says each line in a sentence, and names where each type’s figures come from', () => {
    for (const type of SensorType.options) {
      for (const quantity of ['temperature', 'humidity'] as const) {
        const sensor = { type, calibrations: [], placement: 0.2 }
        for (const { says } of budgetOf(sensor, quantity, { at: start, raw: 5, repeatability: 0.1 }).lines) {
          expect(says).toMatch(/^[A-Z].*\.$/)
        }
        expect(dataSheets[quantity][type].source).toMatch(/from memory$|no source$/)
      }
    }
  })

  test('property: no part makes a reading surer, and U is twice u', () => {
    const width = fc.double({ min: 0, max: 5, noNaN: true })
    fc.assert(
      fc.property(width, width, (placement, repeatability) => {
        const less = budgetOf(bare, 'temperature', { at: start, raw: 5 })
        const more = budgetOf({ ...bare, placement }, 'temperature', { at: start, raw: 5, repeatability })
        expect(more.u).toBeGreaterThanOrEqual(less.u)
        expect(more.u).toBeGreaterThanOrEqual(Math.max(...more.lines.map(({ u }) => u)))
        expect(more.expanded).toBe(2 * more.u)
      }),
    )
  })
})

describe('whether the true value is within (L9)', () => {
  it('is certain where nothing is unsure: the limits themselves are within', () => {
    const sure = (value: number) => chanceTrueWithin({ low: 2, high: 8 }, { value, u: 0 })
    expect([1.99, 2, 8, 8.01].map(sure)).toEqual([0, 1, 1, 0])
  })

  it('moves low limits up and high limits down', () => {
    expect(
      (['lowCritical', 'low', 'high', 'highCritical'] as const).map((name) => guardedLimit(name, 5, 0.5)),
    ).toEqual([5.5, 5.5, 4.5, 4.5])
  })

  it('refuses a band that its sensor leaves no room in', () => {
    expect(guardedBand({ low: 4, high: 5 }, 0.5)).toEqual({ ok: true, value: { low: 4.5, high: 4.5 } })
    expect(guardedBand({ low: 4, high: 5 }, 0.51)).toMatchObject({ ok: false, error: 'noRoom' })
    expect(guardedBand({ high: 5 }, 10)).toEqual({ ok: true, value: { high: -5 } })
  })

  const value = fc.double({ min: -60, max: 60, noNaN: true })
  const u = fc.double({ min: 0, max: 5, noNaN: true })

  test('property: chances lie in 0 to 1, add up, and below falls as the reading rises', () => {
    fc.assert(
      fc.property(
        value,
        value,
        value,
        u,
        fc.double({ min: 0, max: 20, noNaN: true }),
        (y, low, high, spread, more) => {
          const measured = { value: y, u: spread }
          const [below, above] = [chanceTrueBelow(low, measured), chanceTrueAbove(low, measured)]
          const within = chanceTrueWithin({ low: Math.min(low, high), high: Math.max(low, high) }, measured)
          for (const chance of [below, above, within]) {
            expect(chance).toBeGreaterThanOrEqual(0)
            expect(chance).toBeLessThanOrEqual(1)
          }
          expect(below + above).toBeCloseTo(1, 12)
          // 1e-8: the law's two halves meet with an error of their own (7.5e-8 at most).
          expect(chanceTrueBelow(low, { value: y + more, u: spread })).toBeLessThanOrEqual(below + 1e-8)
        },
      ),
    )
  })

  test('property: what passes guarded is out in truth in fewer than 2.3 of 100 on either side', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 8, noNaN: true }),
        fc.double({ min: 0.001, max: 1, noNaN: true }),
        (y, sd) => {
          if (zoneOf({ low: 2, high: 8 }, y, 2 * sd) !== 'pass') return
          expect(chanceTrueAbove(8, { value: y, u: sd })).toBeLessThan(0.0228)
          expect(chanceTrueBelow(2, { value: y, u: sd })).toBeLessThan(0.0228)
        },
      ),
    )
  })
})
