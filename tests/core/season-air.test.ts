import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { celsius, days, instant, later, millis } from '../../schemas/amounts.ts'
import type { Kilopascal } from '../../schemas/units.ts'
import { coldestOf, usualAccuracy, wettingOf } from '../../shared/air/condensation.ts'
import {
  addDrying,
  expectedLoss,
  fewestIntervals,
  lossRatio,
  type LossInterval,
  meanDeficit,
  mergeDrying,
  noDrying,
} from '../../shared/air/evaporation.ts'
import { dewPoint, vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'
import { psychrolib } from '../support/psychrolib.ts'

const at = (air: number, humidity: number, surface: number, accuracy = { humidity: 0, surface: 0 }) =>
  wettingOf({
    air: celsius(air),
    humidity,
    surface: celsius(surface),
    surfaceName: 'the back wall',
    accuracy,
  })

const near = (value: number, digits: number): unknown => expect.closeTo(value, digits)

describe('the coldest surface', () => {
  it('room air of 20 °C and 50 %RH (dew point 9.26 °C, WMO-No. 8) wets a wall at 5 °C by 4.26 K', () => {
    const wetting = at(20, 50, 5)
    expect(wetting).toMatchObject({ kind: 'dew', margin: near(-4.26, 2) })
    expect(wetting.sentence).toBe('Water condenses on the back wall: wet and cold together is dangerous.')
  })

  it('is wet at the dew point itself and dry just above it', () => {
    const dew = dewPoint(celsius(5), 90) ?? celsius(Number.NaN)
    expect(at(5, 90, dew).kind).toBe('dew')
    expect(at(5, 90, dew + 0.001).kind).toBe('dry')
  })

  it('below 0 °C frost forms, at the frost point: −1.88 °C for 5 °C and 60 %RH, not at the dew point, −2.13 °C', () => {
    expect(at(5, 60, -1.9).kind).toBe('frost')
    expect(at(5, 60, -1.85).kind).toBe('dry')
  })

  it('dew on a surface at 0 °C or colder is frost', () => {
    expect(at(5, 90, 0).kind).toBe('frost')
    expect(at(5, 90, 0.1).kind).toBe('dew')
  })

  it('within what the sensors can tell it may form, and the sentence says so', () => {
    expect(at(5, 90, 4.2, usualAccuracy).kind).toBe('nearDew') // 93 %RH: dew point 3.97, and 4.2 may be 3.7
    expect(at(5, 90, 4.6, usualAccuracy).kind).toBe('dry')
    expect(at(5, 65, -0.4, usualAccuracy)).toMatchObject({ kind: 'nearFrost' })
    expect(at(5, 90, 4.2, usualAccuracy).sentence).toContain('less than the sensors can tell')
  })

  it('without humidity, without water or without a surface nothing is known', () => {
    for (const [rh, surface] of [
      [0, 5],
      [Number.NaN, 5],
      [50, Number.NaN],
    ] as const) // prettier-ignore
      expect(at(5, rh, surface).kind).toBe('unknown')
  })

  it('agrees with psychrolib on when water forms, but for 0.1 K around the dew point', () => {
    const warm = fc.double({ min: 1, max: 40, noNaN: true })
    fc.assert(
      fc.property(warm, fc.double({ min: 30, max: 100, noNaN: true }), warm, (air, rh, surface) => {
        const theirs = psychrolib.GetTDewPointFromRelHum(air, rh / 100)
        fc.pre(Math.abs(surface - theirs) > 0.1)
        expect(at(air, rh, surface).kind).toBe(surface < theirs ? 'dew' : 'dry')
      }),
    )
  })

  it('gets no drier by colder surfaces or damper air', () => {
    const rank = { unknown: -1, dry: 0, nearDew: 1, nearFrost: 1, dew: 2, frost: 2 } as const
    const value = fc.double({ min: -15, max: 25, noNaN: true })
    fc.assert(
      fc.property(value, fc.double({ min: 5, max: 95, noNaN: true }), value, (air, rh, surface) => {
        const here = rank[at(air, rh, surface, usualAccuracy).kind]
        expect(rank[at(air, rh, surface - 1, usualAccuracy).kind]).toBeGreaterThanOrEqual(here)
        expect(rank[at(air, rh + 2, surface, usualAccuracy).kind]).toBeGreaterThanOrEqual(here)
      }),
    )
  })

  it('is the coldest of what is measured; what is no number does not count', () => {
    const sensors = [{ celsius: 5 }, { celsius: Number.NaN }, { celsius: 3.2 }, { celsius: 4 }]
    expect(coldestOf(sensors)).toBe(sensors[2])
    expect(coldestOf([{ celsius: Number.NaN }])).toBeNull()
  })
})

const begin = instant(Date.parse('2026-12-01T00:00Z'))
/** Weekly weigh-ins of an animal of 1 kg, in air of these deficits. */
function weeks(deficits: readonly number[], lossOf: (kPaDays: number, i: number) => number): LossInterval[] {
  let grams = 1000
  return deficits.map((deficit, i) => {
    const from = { at: later(begin, i * days(7)), grams }
    grams -= lossOf(deficit * 7, i)
    const drying = addDrying(noDrying, deficit as Kilopascal, days(7))
    return { from, to: { at: later(begin, (i + 1) * days(7)), grams }, drying }
  })
}

describe('loss of mass against how dry the air was', () => {
  it('deficits are weighted with the time that they held, unknown time told apart, and parts merge', () => {
    const one = addDrying(noDrying, vapourPressureDeficit(celsius(5), 60), days(3))
    const other = addDrying(
      addDrying(noDrying, vapourPressureDeficit(celsius(5), 90), days(1)),
      null,
      days(2),
    )
    const both = mergeDrying(one, other)
    // 0.3489 and 0.0872 kPa, FAO-56 equation 11.
    expect(meanDeficit(both)).toBeCloseTo((3 * 0.3489 + 0.0872) / 4, 4)
    expect([both.known, both.unknown]).toEqual([days(4), days(2)])
    expect(meanDeficit(noDrying)).toBeNull()
  })

  it('is found where it follows the air, and foretells the next week', () => {
    const found = lossRatio(weeks([0.35, 0.17, 0.26, 0.09, 0.3], (dry) => 2 * dry))
    if (!found.ok) throw new Error(found.sentence)
    expect(found).toMatchObject({ ratio: near(2, 9), intervals: 5 })
    const next = expectedLoss(found, addDrying(noDrying, 0.4 as Kilopascal, days(7)))
    expect(next.grams).toBeCloseTo(5.6, 9)
  })

  it('is not known yet from too few stretches, and known from the fewest', () => {
    const many = weeks([0.35, 0.17, 0.26, 0.09], (dry) => 2 * dry)
    expect(many).toHaveLength(fewestIntervals)
    expect(lossRatio(many).ok).toBe(true)
    expect(lossRatio(many.slice(1))).toMatchObject({ ok: false, error: 'tooFew' })
  })

  it('stretches whose air is known for less than nine tenths do not count', () => {
    const many = weeks([0.35, 0.17, 0.26, 0.09], (dry) => 2 * dry)
    const knownFor = (share: number) =>
      many.map((one, i) => {
        const drying = addDrying(noDrying, 0.2 as Kilopascal, millis(Math.round(share * days(7))))
        return i === 0 ? { ...one, drying } : one
      })
    expect(lossRatio(knownFor(0.9)).ok).toBe(true)
    expect(lossRatio(knownFor(0.89))).toMatchObject({ error: 'tooFew' })
  })

  it('is not known where the loss does not follow the air, where none was lost, or a weigh-in is none', () => {
    const scattered = weeks([0.3, 0.3, 0.3, 0.3], (_dry, i) => (i === 2 ? 40 : -2))
    expect(lossRatio(scattered)).toMatchObject({ error: 'tooScattered' })
    expect(lossRatio(weeks([0.3, 0.3, 0.3, 0.3], () => -1))).toMatchObject({ error: 'noLoss' })
    const [first] = weeks([0.3], () => 1)
    if (first === undefined) throw new Error('no week')
    expect(lossRatio([{ ...first, to: first.from }])).toMatchObject({ error: 'badWeighIn' })
  })

  it('is off by no more than the scales are, where they err by up to 1 g', () => {
    const errors = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 12, maxLength: 12 })
    fc.assert(
      fc.property(errors, (off) => {
        const deficits = off.map((_, i) => 0.1 + 0.02 * i)
        const found = lossRatio(weeks(deficits, (dry, i) => 6 * dry + (off[i] ?? 0)))
        if (!found.ok) throw new Error(found.sentence)
        const spread = Math.sqrt(deficits.reduce((sum, d) => sum + (7 * d) ** 2, 0))
        // Off by at most what twelve errors of 1 g in one direction do (Cauchy–Schwarz).
        expect(Math.abs(found.ratio - 6)).toBeLessThanOrEqual(Math.sqrt(12) / spread + 1e-9)
      }),
    )
  })
})
