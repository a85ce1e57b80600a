import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Animal } from '../../schemas/animal.ts'
import type { MassNow } from '../../schemas/condition.ts'
import { DiaryLine } from '../../schemas/diary.ts'
import { instant } from '../../schemas/amounts.ts'
import { massPlot, ticks } from '../../web/animals/mass-plot.ts'
import { decimalOf, gramsOf } from '../../web/diary/decimal.ts'
import { isImplausible } from '../../web/diary/plausible.ts'
import { lastMasses, weighOrder } from '../../web/diary/weigh-order.ts'
import { daysAgoWords } from '../../web/words/ago.ts'
import { noteWords } from '../../web/words/diary-words.ts'
import { createTell } from '../../web/words/tell.ts'

const dayMs = 86_400_000
const now = Date.parse('2027-01-13T12:00:00+01:00')

describe('what is typed', () => {
  test.each([
    ['812', 812],
    ['81.5', 81.5],
    ['81,5', 81.5],
    [' 1 234 ', 1234],
    ['.5', 0.5],
    ['5.', 5],
    ['0', 0],
  ])('%j is %d', (typed, number) => {
    expect(decimalOf(typed)).toBe(number)
  })

  test.each(['', '.', ',', '1.234,5', '1,2,3', '-5', '81 g', '1e3', 'Infinity', '٣'])(
    '%j is no number',
    (typed) => {
      expect(decimalOf(typed)).toBeNull()
    },
  )

  test('point and comma mean the same', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 500_000 }), fc.integer({ min: 0, max: 99 }), (whole, part) => {
        expect(decimalOf(`${whole},${part}`)).toBe(decimalOf(`${whole}.${part}`))
      }),
    )
  })

  test('a mass is more than nothing; kilograms become grams to the milligram', () => {
    expect([gramsOf('0', false), gramsOf('0.01', false), gramsOf('', false)]).toEqual([null, 0.01, null])
    expect([gramsOf('10,071', true), gramsOf('40.25', true)]).toEqual([10_071, 40_250])
  })

  test('30 % more or less is believed, a hair beyond is asked about', () => {
    for (const last of [3, 812, 40_000]) {
      expect(isImplausible(last * 0.7, last)).toBe(false)
      expect(isImplausible(last * 1.3, last)).toBe(false)
      expect(isImplausible(last * 0.699, last)).toBe(true)
      expect(isImplausible(last * 1.301, last)).toBe(true)
    }
  })
})

describe('the order of the sheet', () => {
  const animal = (id: string, phase: 'hold' | 'awake'): Animal =>
    Animal.parse({
      id,
      name: id,
      species: 'testudo-hermanni',
      place: null,
      mode: 'goesDown',
      plan: phase === 'awake' ? [] : [{ phase, from: now - 40 * dayMs }],
    })
  const line = (id: string, days: number, grams: number): DiaryLine =>
    DiaryLine.parse({
      id: `${id}-${days}`,
      animal: id,
      at: now - days * dayMs,
      note: { kind: 'weighed', grams },
      by: 'Robin',
      notedAt: now,
    })

  test('due before down, down before awake, then who was weighed longest ago, never before all', () => {
    const animals = [
      animal('a', 'awake'),
      animal('b', 'hold'),
      animal('c', 'hold'),
      animal('d', 'hold'),
      animal('e', 'awake'),
    ]
    const last = lastMasses([line('b', 2, 800), line('c', 5, 600), line('a', 90, 1450)])
    expect(weighOrder(animals, last, new Set(['e']), now)).toEqual(['e', 'd', 'c', 'b', 'a'])
  })

  test('the newest two masses of each animal are kept, in whatever order they came', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([1, 2, 3, 4, 5], { minLength: 2 }), (days) => {
        const found = lastMasses(days.map((day) => line('a', day, 800 + day))).get('a')
        const newest = [...days].sort((a, b) => a - b).slice(0, 2)
        expect(found?.map(({ grams }) => grams)).toEqual(newest.map((day) => 800 + day))
      }),
    )
  })
})

describe('the curve of its mass (S2)', () => {
  const masses = [0, 10, 20].map((day) => ({ at: now + day * dayMs, grams: 800 - day }))
  const entry = { at: instant(now), grams: 800 }
  const rule = (name: 'monthly' | 'total', limitPercent: number) =>
    ({
      rule: name,
      limitPercent,
      verdict: 'well',
      sentence: '',
      source: '',
      evidence: 'read',
    }) as const
  const mass = (meetsTotal: MassNow['meetsTotal']): MassNow => ({
    standing: 'well',
    sentence: '',
    entry,
    last: { at: instant(now + 20 * dayMs), grams: 780 },
    lostPercent: 2.5,
    monthly: { percent: 3.75, low: 3, high: 4 },
    rules: [rule('monthly', 1), rule('total', 5)],
    meetsTotal,
    askUrinated: false,
    air: null,
  })

  test('5 % of 800 g is lost at 760 g; 1 % in 30 days falls by 8 g', () => {
    const plot = massPlot(masses, mass(null))
    expect(plot.total).toEqual({ grams: 760, percent: 5 })
    const { from, to } = plot.monthly ?? { from: entry, to: entry }
    expect(((from.grams - to.grams) / (to.at - from.at)) * 30 * dayMs).toBeCloseTo(8, 9)
    expect(plot.least).toBeLessThan(760)
    expect(plot.most).toBeGreaterThan(800)
    expect(plot.ahead).toEqual([])
  })

  test('what the trend leaves open ends where the limit is met, and stays open where it may never be', () => {
    const day = (n: number) => instant(now + n * dayMs)
    const closed = massPlot(masses, mass({ soonest: day(30), likely: day(40), latest: day(60) }))
    expect(closed.ahead.map(({ at }) => at)).toEqual([day(20), day(30), day(60)])
    expect(closed.to).toBe(day(60))
    const open = massPlot(masses, mass({ soonest: day(30), likely: day(40), latest: null }))
    expect(open.to).toBe(day(20 + 90))
    expect(open.ahead.at(-1)).toEqual({ at: open.to, grams: 780 })
  })

  test('without a hold it is the weigh-ins alone', () => {
    const plot = massPlot(masses, null)
    expect([plot.total, plot.monthly, plot.likely]).toEqual([null, null, null])
    expect(plot.from).toBe(now)
  })

  test('the scale has round steps inside what is shown', () => {
    expect(ticks(758, 802, 3)).toEqual([760, 780, 800])
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 400_000, noNaN: true }),
        fc.double({ min: 0.1, max: 5000, noNaN: true }),
        (from, size) => {
          const found = ticks(from, from + size, 3)
          expect(found.length).toBeGreaterThanOrEqual(1)
          expect(found.length).toBeLessThanOrEqual(4)
          for (const at of found) expect(at).toBeGreaterThanOrEqual(from * (1 - 1e-9))
        },
      ),
    )
  })
})

describe('in words', () => {
  const tell = createTell('en-GB')
  const plain = (text: string): string => text.replace(/\u202f/g, ' ')

  test('a mass shows the digits that were read, in kg from 10 kg on', () => {
    expect([0.85, 12.5, 812, 9999.5, 10_000, 40_250].map((grams) => plain(tell.mass(grams)))).toEqual([
      '0.85 g',
      '12.5 g',
      '812 g',
      '9,999.5 g',
      '10.00 kg',
      '40.25 kg',
    ])
  })

  test('an age is told in days from two on', () => {
    expect(daysAgoWords(2 * dayMs - 1000)).toMatch(/^(?:1 d 23|2 d)/)
    expect(daysAgoWords(2 * dayMs)).toBe('2 days ago')
    expect(daysAgoWords(9.9 * dayMs)).toBe('9 days ago')
  })

  test('of a health check what is not well comes first', () => {
    const answers = { eyesClear: 'yes', fedWell: 'yes', mouthClean: 'unsure', faecesTested: 'no' } as const
    expect(noteWords({ kind: 'checked', answers }, tell)).toBe(
      'Health check: not so: faeces tested; unsure: mouth clean; 2 well',
    )
  })
})
