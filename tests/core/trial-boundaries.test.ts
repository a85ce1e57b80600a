import { describe, expect, test } from 'vitest'
import { days, hours, millis, minutes } from '../../schemas/amounts.ts'
import { cellarFridge, practiceCurve, shownBy } from '../support/practice-curve.ts'
import { reportOf, steady } from '../support/trial-story.ts'

const truth = practiceCurve(cellarFridge(), days(7), 11)
const probe = { every: minutes(1), noise: 0.05, step: 0.0625 }
const inAir = { id: 'air', points: shownBy(truth, { ...probe, place: 1 }, 3) }
const inBox = {
  id: 'soil',
  points: shownBy(truth, { ...probe, place: 2 }, 3),
  place: 'box',
  about: { spot: 'substrate' },
  isAir: false,
}

describe('L9: both sides of each boundary', () => {
  const judged = (celsius: number, asked: object = {}, more: object = {}) =>
    reportOf([{ ...inBox, points: steady(celsius, days(7)), ...more }], { lasts: days(7), asked }).species[0]
  const exact = { isGuarded: false }

  test('without allowance exactly 1.0 °C is dangerous, a sixteenth above is not', () => {
    expect(judged(1, exact)?.reasons[0]).toBe('soil in box came down to 1.0 °C: at or below 1.0 °C.')
    expect(judged(1.0625, exact)?.reasons[0]).toMatch(/^On average/)
  })

  test('with allowance the moved limit itself passes, and less does not', () => {
    const about = { spot: 'substrate', accuracy: 0.5 * Math.sqrt(3), type: 'other' }
    const expanded = reportOf([{ ...inBox, about, points: steady(5, days(7)) }], { lasts: days(7) })
      .sensors[0]?.expanded
    const limit = 1 + (expanded ?? 0)
    expect(judged(limit, {}, { about })?.reasons[0]).toMatch(/^On average/)
    expect(judged(limit - 0.01, {}, { about })?.reasons[0]).toMatch(/may be off by ±.*is not ruled out\.$/)
  })

  test('exactly 10.0 °C is dangerous warmth', () => {
    expect(judged(10, exact)?.reasons[0]).toBe('soil in box went up to 10.0 °C: at or above 10.0 °C.')
  })

  test('the mean at the inner limit is out, a little inside it is fit', () => {
    expect(judged(3)?.verdict).toBe('notFit')
    expect(judged(3.01)?.verdict).toBe('fit')
    expect(judged(7)?.verdict).toBe('notFit')
    expect(judged(7, { guidance: 'lenient' })?.verdict).toBe('fit')
  })

  test('exactly 48 h are enough, with a remark; a minute less is not known yet', () => {
    const after = (lasts: number) =>
      reportOf([inAir, inBox], { lasts: days(7), looksAfter: lasts }).species[0] ?? null
    expect(after(hours(48))).toMatchObject({ verdict: 'fitWithRemarks' })
    expect(after(hours(48))?.reasons.at(-1)).toBe('It ran for 2 d; a week shows more.')
    expect(after(hours(48) - minutes(1))).toMatchObject({
      verdict: 'notKnownYet',
      reasons: ['It ran for 1 d 23 h; 2 d are the least, a week is better.'],
    })
    expect(after(hours(48))?.reasons.join(' ')).not.toContain('are the least')
  })

  test('what is dangerous already need not run for two days to be said', () => {
    const report = reportOf([{ ...inBox, points: steady(0.5, days(1)) }], { lasts: days(1) })
    expect(report.species[0]).toMatchObject({ verdict: 'notFit' })
  })

  test('nothing heard at all is not known yet, and a run just begun has no figures', () => {
    expect(reportOf([{ ...inBox, points: [] }], { lasts: days(7) }).species[0]?.verdict).toBe('notKnownYet')
    const begun = reportOf([inAir], { lasts: days(7), looksAfter: hours(12) })
    expect(begun.sensors[0]).toMatchObject({ figures: null, readings: 719 })
    expect(begun.counted).toBe(0)
  })

  test('heard for half of the time is enough to judge by, for less it is not', () => {
    const until = (lasts: number) =>
      reportOf([{ ...inBox, points: steady(5, lasts as never) }], { lasts: days(7) }).species[0]
    // Twelve hours settle; the last value holds for ten minutes more (L2).
    const half = hours(12) + (days(7) - hours(12)) / 2 - minutes(9)
    expect(until(half)?.verdict).not.toBe('notKnownYet')
    expect(until(half - minutes(1))?.verdict).toBe('notKnownYet')
  })

  test('hours that are kept by the hour only are said to be left out, and no sensor is called silent for them', () => {
    const half = hours(12) + (days(7) - hours(12)) / 2
    const reasonsFor = (lasts: number, hourly: number) => {
      const box = { ...inBox, points: steady(5, lasts as never), hourly: millis(hourly) }
      const [judged] = reportOf([box], { lasts: days(7) }).species
      return [judged?.verdict, judged?.reasons.join(' ')] as const
    }
    const leftOut = /Of 1 d 6 h of it only hourly figures are still kept: they are left out/
    const [most, some] = [reasonsFor(half, hours(30)), reasonsFor(half - hours(2), hours(30))]
    expect(most[0]).toBe('fitWithRemarks')
    expect(some[0]).toBe('notKnownYet')
    for (const [, reasons] of [most, some]) {
      expect(reasons).toMatch(leftOut)
      expect(reasons).not.toMatch(/silent|heard for less/)
    }
    expect(reasonsFor(0, days(7))[1]).toMatch(/Of 7 d of it only hourly figures/)
    expect(reasonsFor(half - hours(2), 0)[1]).toMatch(/heard for less than half/)
    expect(reasonsFor(half, 0)[1]).not.toMatch(/hourly/)
  })

  test('a sensor that was silent is still called so beside one that is kept by the hour', () => {
    const silent = { ...inBox, id: 'other', points: steady(5, hours(20)) }
    const thinned = { ...inBox, points: steady(5, days(5)), hourly: days(2) }
    const [judged] = reportOf([thinned, silent], { lasts: days(7) }).species
    expect(judged?.reasons.join(' ')).toMatch(/A sensor was silent for more than half of the time/)
  })

  test('a tenth of the time out of the band is a remark, more is not fit', () => {
    const outFor = (share: number) => {
      const points = steady(5, days(7)).map((one, i, all) => {
        const first = hours(12) / minutes(1)
        return i >= first && i < first + share * (all.length - first) ? { ...one, celsius: 7.5 } : one
      })
      return reportOf([{ ...inBox, points }], { lasts: days(7) }).species[0]
    }
    expect(outFor(0.09)?.verdict).toBe('fitWithRemarks')
    expect(outFor(0.09)?.outShare).toBeCloseTo(0.09, 2)
    expect(outFor(0.11)?.verdict).toBe('notFit')
  })
})
