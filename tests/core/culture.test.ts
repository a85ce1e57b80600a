import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later } from '../../schemas/amounts.ts'
import { DiaryLine, type DiaryNote } from '../../schemas/diary.ts'
import { Place } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { cultureNow, cultureReminders } from '../../shared/animals/culture.ts'
import { bandsAt } from '../../shared/judging/band.ts'

const now = instant(Date.UTC(2026, 10, 26, 9))
const timeZone = 'Europe/Vienna'
const place = Place.parse({
  id: 'crickets',
  name: 'Cricket tub',
  kind: 'culture',
  culture: { food: 'houseCricket', unit: 'pieces', weeklyUse: 70, orderWeeks: 1 },
})

let entries = 0
const line = (at: Instant, note: DiaryNote): DiaryLine => {
  entries += 1
  const id = entries.toString(16).padStart(16, '0')
  return DiaryLine.parse({ id, at, place: place.id, note, by: 'Robin', notedAt: at })
}
const ago = (n: number): Instant => later(now, -days(n))
const facts = (history: readonly DiaryLine[], at = now, celsius: number | null = null) => ({
  place,
  history,
  celsius,
  now: at,
  timeZone,
})

describe('S5: how long live food lasts', () => {
  test('never counted, nothing is known but that it is to be counted', () => {
    const culture = cultureNow(facts([]))
    expect(culture).toMatchObject({ stock: null, weeksLeft: null, orderBy: null, isLow: false, warmth: null })
    expect(cultureReminders(facts([]), '2026-12-10').map(({ id, standing }) => [id, standing])).toEqual([
      ['count:crickets:first', 'due'],
      ['count:crickets:2026-12-10', 'coming'],
    ])
  })

  test('what was counted goes by the weekly use while nothing taken is noted', () => {
    const culture = cultureNow(facts([line(ago(7), { kind: 'counted', amount: 350 })]))
    expect(culture.stock?.amount).toBeCloseTo(280, 6)
    expect(culture.weeksLeft).toBeCloseTo(4, 6)
  })

  test('what was added and taken since the count is reckoned in, and what came before it is not', () => {
    const history = [
      line(ago(20), { kind: 'added', amount: 1000 }),
      line(ago(10), { kind: 'counted', amount: 100 }),
      line(ago(5), { kind: 'added', amount: 210 }),
      line(now, { kind: 'taken', amount: 30 }),
    ]
    expect(cultureNow(facts(history)).stock?.amount).toBeCloseTo(280, 6)
  })

  test('an entry ahead of the clock does not count', () => {
    const history = [
      line(now, { kind: 'counted', amount: 70 }),
      line(later(now, 1), { kind: 'added', amount: 70 }),
    ]
    expect(cultureNow(facts(history)).stock?.amount).toBe(70)
  })

  test('it is ordered while it lasts an order and a week more: 2 weeks of use here, both sides', () => {
    const counted = (amount: number) => [line(now, { kind: 'counted', amount })]
    expect(cultureNow(facts(counted(140)))).toMatchObject({ orderBy: '2026-11-26', isLow: true })
    expect(cultureNow(facts(counted(151)))).toMatchObject({ orderBy: '2026-11-27', isLow: false })
    expect(cultureNow(facts(counted(140 + 70)))).toMatchObject({ orderBy: '2026-12-03', isLow: false })
  })

  test('nothing used, nothing to order', () => {
    const idle = {
      ...place,
      culture: { food: 'mealworm', unit: 'grams', weeklyUse: 0, orderWeeks: 1 } as const,
    }
    const culture = cultureNow({ ...facts([line(now, { kind: 'counted', amount: 5 })]), place: idle })
    expect(culture).toMatchObject({ weeksLeft: null, orderBy: null, isLow: false })
    expect(culture.sentence).toBe('About 5 g of mealworms.')
  })

  test('as days go by with nothing noted, the day on which to order stays the same and the stock only falls', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2000 }),
        fc.integer({ min: 0, max: 60 }),
        fc.integer({ min: 0, max: 60 }),
        (amount, one, more) => {
          const history = [line(ago(0), { kind: 'counted', amount })]
          const early = cultureNow(facts(history, later(now, days(one))))
          const late = cultureNow(facts(history, later(now, days(one + more))))
          expect(late.orderBy).toBe(early.orderBy)
          expect(late.stock?.amount).toBeLessThanOrEqual(early.stock?.amount ?? 0)
          expect(late.stock?.amount).toBeGreaterThanOrEqual(0)
        },
      ),
    )
  })

  test('S4: counting makes the count go, and adding makes the order go', () => {
    const low = [line(ago(14), { kind: 'counted', amount: 200 })]
    const due = (history: readonly DiaryLine[]) =>
      cultureReminders(facts(history), '2026-11-26').map(({ kind }) => kind)
    expect(due(low)).toEqual(['order', 'count'])
    const added = [...low, line(now, { kind: 'added', amount: 500 })]
    expect(due(added)).toEqual(['count'])
    expect(due([...added, line(now, { kind: 'counted', amount: 560 })])).toEqual([])
  })

  test('what the last week’s warmth means is said with its source', () => {
    expect(cultureNow(facts([], now, 18)).warmth).toMatchObject({ standing: 'slow', evidence: 'read' })
    expect(cultureNow(facts([], now, 18)).warmth?.slower).toBeCloseTo(3.03, 2)
    expect(cultureNow(facts([], now, 12)).warmth).toMatchObject({ standing: 'stopped', slower: null })
  })
})

describe('S5: the band of a culture', () => {
  const bandOf = (food: 'houseCricket' | 'desertLocust' | 'mealworm' | 'fruitFly' | 'woodlouse') =>
    bandsAt({ ...place, culture: { food, unit: 'pieces', weeklyUse: 0, orderWeeks: 1 } }, [], 'strict', now)
      .bands.temperature

  test('crickets are told of below 20 °C, of low priority, and below 15 °C for six hours, of medium', () => {
    expect(bandOf('houseCricket')?.low).toMatchObject({ value: 20, inclusive: false, priority: 'low' })
    expect(bandOf('houseCricket')?.lowCritical).toMatchObject({
      value: 15,
      for: hours(6),
      priority: 'medium',
    })
    expect(bandOf('houseCricket')?.high).toBeNull()
  })

  test('locusts below 22, flies below 15, mealworms above 30 °C only, woodlice never', () => {
    expect(bandOf('desertLocust')?.low?.value).toBe(22)
    expect(bandOf('fruitFly')?.low?.value).toBe(15)
    expect(bandOf('mealworm')).toMatchObject({ low: null, lowCritical: null, high: { value: 30 } })
    expect(bandOf('woodlouse')).toBeUndefined()
  })

  test('L8: a keeper’s own limit tightens it', () => {
    const own = { ...place, ownLimits: [{ quantity: 'temperature', limit: 'low', value: 24 } as const] }
    expect(bandsAt(own, [], 'strict', now).bands.temperature?.low).toMatchObject({
      value: 24,
      because: 'set by the keeper',
    })
  })
})
