import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { Place } from '../../schemas/place.ts'
import { lastAiring, nextAiring, oxygenLeft } from '../../shared/season/airing.ts'
import { daysPerOxygenPoint } from '../../shared/season/oxygen.ts'

const now = instant(Date.UTC(2026, 11, 20, 18))
const before = (ms: number) => later(now, -ms)

describe('S4: a door that was opened counts as airing', () => {
  test('the newest counts, from when it was shut again', () => {
    const openings = [{ at: before(days(3)), until: before(days(3) - minutes(4)) }, { at: before(days(9)) }]
    expect(lastAiring(openings, now)).toEqual({ at: before(days(3)), ago: days(3) - minutes(4) })
  })

  test('none is none, and one ahead of the clock is no airing; one at this moment is', () => {
    expect(lastAiring([], now)).toBeNull()
    expect(lastAiring([{ at: later(now, 1) }], now)).toBeNull()
    expect(lastAiring([{ at: now }], now)).toEqual({ at: now, ago: 0 })
  })

  test('a door that still stands open airs now', () => {
    expect(lastAiring([{ at: before(minutes(3)), until: later(now, minutes(1)) }], now)?.ago).toBe(0)
  })

  test('in whatever order they come, the last airing is that of the one shut last', () => {
    const opening = fc.record({
      at: fc.integer({ min: now - days(30), max: now + days(1) }),
      until: fc.option(fc.integer({ min: now - days(31), max: now + days(2) }), { nil: undefined }),
    })
    fc.assert(
      fc.property(fc.array(opening, { maxLength: 12 }), (openings) => {
        const last = lastAiring(openings, now)
        expect(lastAiring(openings.toReversed(), now)).toEqual(last)
        const past = openings.filter(({ at }) => at <= now)
        expect(last === null).toBe(past.length === 0)
        for (const { at, until = at } of past)
          expect(last?.ago).toBeLessThanOrEqual(Math.max(0, now - Math.max(at, until)))
      }),
    )
  })
})

describe('S4: when a door is to be opened again', () => {
  const since = before(days(20))
  const weekly = { since, every: days(7), now }

  test('counts from the last airing: due at the very moment, not before', () => {
    expect(nextAiring({ at: before(days(7)), ago: days(7) }, weekly)).toEqual({ at: now, isDue: true })
    const almost = days(7) - 1
    expect(nextAiring({ at: before(almost), ago: minutes(0) }, weekly)?.isDue).toBe(false)
    expect(nextAiring({ at: before(almost), ago: (days(7) - 1) as never }, weekly)?.isDue).toBe(false)
  })

  test('counts from when the animals went in where it was not opened since', () => {
    const old = { at: before(days(40)), ago: days(40) }
    for (const last of [null, old])
      expect(nextAiring(last, weekly)).toEqual({ at: later(since, days(7)), isDue: true })
  })

  test('is never asked for without a rhythm', () => {
    expect(nextAiring(null, { ...weekly, every: hours(0) })).toBeNull()
  })
})

describe('the oxygen of the air inside', () => {
  const two = [
    { name: 'Bramble', kilograms: 1.2 },
    { name: 'Sorrel', kilograms: 0.4 },
  ]

  test('is that of the published ceiling for all who breathe it', () => {
    const left = oxygenLeft({ litres: 90, celsius: 5, breathers: two })
    const by = daysPerOxygenPoint({ litres: 90, celsius: 5, kilograms: [1.2, 0.4] })
    expect(by.ok && left).toEqual(
      by.ok && { kind: 'known', days: by.value.days, leastDays: by.value.leastDays },
    )
  })

  test('names each figure that is missing, and invents none', () => {
    expect(oxygenLeft({ litres: null, celsius: 5, breathers: two })).toMatchObject({
      litres: true,
      masses: [],
    })
    expect(oxygenLeft({ litres: 90, celsius: null, breathers: two })).toMatchObject({ celsius: true })
    const unweighed = [...two, { name: 'Thistle', kilograms: null }]
    expect(oxygenLeft({ litres: 90, celsius: 5, breathers: unweighed })).toEqual({
      kind: 'missing',
      litres: false,
      celsius: false,
      masses: ['Thistle'],
    })
    expect(oxygenLeft({ litres: null, celsius: null, breathers: [] })).toEqual({ kind: 'nobody' })
  })

  test('more air lasts longer, more animals less long', () => {
    const mass = fc.double({ min: 0.02, max: 20, noNaN: true })
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1000, noNaN: true }), mass, mass, (litres, one, other) => {
        const daysOf = (air: number, ...kilograms: number[]): number => {
          const left = oxygenLeft({
            litres: air,
            celsius: 5,
            breathers: kilograms.map((kg) => ({ name: 'x', kilograms: kg })),
          })
          return left.kind === 'known' ? left.days : Number.NaN
        }
        expect(daysOf(litres * 2, one)).toBeGreaterThan(daysOf(litres, one))
        expect(daysOf(litres, one, other)).toBeLessThan(daysOf(litres, one))
      }),
    )
  })
})

test('X3: the free litres of a place are more than none and at most a cellar’s, a thousand cubic metres; they may be left out', () => {
  const fits = (litres: unknown): boolean =>
    Place.safeParse({ id: 'fridge', name: 'Fridge', kind: 'fridge', litres }).success
  expect([undefined, 0.1, 1_000_000].map(fits)).toEqual([true, true, true])
  expect([0, -1, 1_000_000.1, '90', null].map(fits)).toEqual([false, false, false, false, false])
})
