import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { celsius, days } from '../../schemas/amounts.ts'
import {
  mergeMetabolic,
  metabolicDays,
  metabolicTime,
  noMetabolicTime,
  paceAt,
  q10,
  q10Holds,
  q10Of,
} from '../../shared/season/metabolic-days.ts'
import { daysPerOxygenPoint, oxygenUse } from '../../shared/season/oxygen.ts'

const day = days(1)

describe('metabolic days', () => {
  it('one day at 10 °C costs as much as 1.58 days at 5 °C, and 1.9 by the steepest published Q10 (computed)', () => {
    const { days: usual, from, to } = metabolicDays(metabolicTime(10, day))
    expect(usual).toBeCloseTo(1.5811, 4)
    expect(to.toFixed(1)).toBe('1.9')
    expect(from).toBeCloseTo(2 ** 0.5, 9)
  })

  it('15 to 5 °C by Q10 3.6 is 0.2778 of the pace (doi 10.5061/dryad.69p8cz993)', () => {
    expect(paceAt(5, q10.most, celsius(15))).toBeCloseTo(0.2778, 4)
  })

  it('20 times as much from 5 to 30 °C is a Q10 of 3.314 (Stubblefield, Ultsch & Secor: −95 %)', () => {
    expect(q10Of(1, 20, 25)).toBeCloseTo(3.314, 3)
    expect(q10Of(20, 1, -25)).toBeCloseTo(3.314, 3)
    expect([q10Of(0, 1, 25), q10Of(1, -1, 25), q10Of(1, 2, 0)]).toEqual([null, null, null])
  })

  it('at the reference a day is a day, whatever the Q10; the three are one', () => {
    expect(metabolicDays(metabolicTime(5, day))).toEqual({ days: 1, from: 1, to: 1 })
  })

  it('colder than the reference costs least by the steepest Q10', () => {
    const { days: usual, from, to } = metabolicDays(metabolicTime(2, day))
    expect(from).toBeCloseTo(3.6 ** -0.3, 9)
    expect(to).toBeCloseTo(2 ** -0.3, 9)
    expect(from < usual && usual < to).toBe(true)
  })

  it('holds from 0 to 15 °C, both included; beyond, the end counts and the time is told', () => {
    for (const at of [q10Holds.from, q10Holds.to]) expect(metabolicTime(at, day).beyond).toBe(0)
    for (const [at, end] of [
      [-0.1, q10Holds.from],
      [15.1, q10Holds.to],
    ] as const) {
      expect(metabolicTime(at, day)).toEqual({ ...metabolicTime(end, day), beyond: day })
    }
  })

  it('adds up, wherever a stretch is cut, and is never negative', () => {
    const value = fc.double({ min: -30, max: 45, noNaN: true })
    fc.assert(
      fc.property(value, fc.integer({ min: 1, max: 1e9 }), fc.integer({ min: 1, max: 1e9 }), (at, a, b) => {
        const one = metabolicDays(mergeMetabolic(metabolicTime(at, a), metabolicTime(at, b)))
        const whole = metabolicDays(metabolicTime(at, a + b))
        expect(one.days / whole.days).toBeCloseTo(1, 9)
        expect(one.from).toBeGreaterThan(0)
        expect(one.from <= one.days && one.days <= one.to).toBe(true)
      }),
    )
    expect(metabolicDays(noMetabolicTime)).toEqual({ days: 0, from: 0, to: 0 })
  })
})

describe('oxygen', () => {
  it('1 kg at 25.5 °C uses 45.47 ml an hour (Hughes et al. 1971, J Exp Biol 55:651)', () => {
    expect(oxygenUse(1, 25.5)).toBeCloseTo(45.47, 9)
    expect(oxygenUse(2, 25.5)).toBeCloseTo(45.47 * 2 ** 0.82, 9)
  })

  it('1 kg at 5 °C uses 6.95 ml an hour, 167 ml a day, by Q10 2.5 (computed)', () => {
    const use = oxygenUse(1, 5) ?? Number.NaN
    expect(use).toBeCloseTo(6.95, 2)
    expect((24 * use).toFixed(0)).toBe('167')
  })

  const air = (count: number, litres = 100, kilograms = 1) =>
    daysPerOxygenPoint({ litres, celsius: 5, kilograms: Array.from({ length: count }, () => kilograms) })

  it('1 kg takes a point out of 100 L in 6.0 days, five such animals in 1.2 (computed)', () => {
    for (const [count, expected] of [
      [1, '6.0'],
      [5, '1.2'],
    ] as const) {
      const outcome = air(count)
      if (!outcome.ok) throw new Error(outcome.sentence)
      expect(outcome.value.days.toFixed(1)).toBe(expected)
      expect(outcome.value.sentence).toContain(`about ${expected} days`)
      expect(outcome.value.leastDays).toBeLessThan(outcome.value.days)
    }
  })

  it('what is not known is said: no air, nobody, no weight, no temperature', () => {
    expect(air(1, 0)).toMatchObject({ ok: false, error: 'noAir' })
    expect(air(0)).toMatchObject({ ok: false, error: 'nobody' })
    expect(air(2, 100, 0)).toMatchObject({ ok: false, error: 'notKnown' })
    expect(daysPerOxygenPoint({ litres: 100, celsius: Number.NaN, kilograms: [1] })).toMatchObject({
      error: 'notKnown',
    })
  })

  it('lasts longer with more air, in the cold and with fewer or lighter animals', () => {
    const mass = fc.double({ min: 0.02, max: 20, noNaN: true })
    const at = fc.double({ min: 0, max: 14, noNaN: true })
    fc.assert(
      fc.property(fc.array(mass, { minLength: 1, maxLength: 8 }), at, (kilograms, warm) => {
        const lasts = (here: Partial<Parameters<typeof daysPerOxygenPoint>[0]>) => {
          const outcome = daysPerOxygenPoint({ litres: 100, kilograms, celsius: warm, ...here })
          return outcome.ok ? outcome.value.days : Number.NaN
        }
        expect(lasts({ litres: 200 }) / lasts({})).toBeCloseTo(2, 9)
        expect(lasts({ celsius: warm + 1 })).toBeLessThan(lasts({}))
        expect(lasts({ kilograms: [...kilograms, 0.1] })).toBeLessThan(lasts({}))
      }),
    )
  })
})
