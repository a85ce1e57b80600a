import { describe, expect, test } from 'vitest'
import { objectionTo } from '../../daemon/app/edits.ts'
import { days, later } from '../../schemas/amounts.ts'
import type { PlanStep } from '../../schemas/animal.ts'
import { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

const now = Date.parse('2026-10-01T10:00:00Z') as Instant
const on = (day: number): Instant => later(now, days(day))
const cold = (from: number): PlanStep[] => [
  { phase: 'coolDown', from: on(from) },
  { phase: 'hold', from: on(from + 21) },
  { phase: 'warmUp', from: on(from + 77) },
  { phase: 'awake', from: on(from + 91) },
]
const snake = (id: string, more: object = {}) => ({
  id,
  name: id,
  species: 'pantherophis-guttatus',
  place: 'rack',
  mode: 'goesDown',
  ...more,
})
/** A leopard gecko: cooled lightly too, and far too warm for a snake in hold while it is awake. */
const gecko = (id: string, more: object = {}) => snake(id, { species: 'eublepharis-macularius', ...more })
const house = (...animals: object[]): Household =>
  Household.parse({
    version: 1,
    name: 'Snake house',
    timeZone: 'UTC',
    places: [
      { id: 'rack', name: 'Rack', kind: 'enclosure' },
      { id: 'tank', name: 'Tank', kind: 'enclosure' },
    ],
    animals,
  })
const objection = (next: Household, before: Household | null = null) =>
  objectionTo(next, profileOf, now, before)?.error ?? null

describe('L8: two in one box', () => {
  test('one that is awake all winter does not suit one that will be in hold, and is refused by its day', () => {
    const next = house(snake('maize', { plan: cold(20) }), gecko('linden'))
    expect(objectionTo(next, profileOf, now)?.sentence).toMatch(
      /^From \d+ \w+ no temperature in Rack suits both: /,
    )
  })

  test('one whose winter is drafted for the same weeks is not taken for awake for ever', () => {
    expect(
      objection(house(snake('maize', { plan: cold(20) }), gecko('linden', { draft: cold(20) }))),
    ).toBeNull()
    expect(objection(house(snake('maize', { plan: cold(20) }), gecko('linden', { draft: cold(160) })))).toBe(
      'bandsConflict',
    )
  })

  test('now counts as it is, whatever is drafted', () => {
    const mates = [snake('maize', { plan: cold(-30) }), gecko('linden', { draft: cold(1) })]
    expect(objection(house(...mates))).toBe('bandsConflict')
  })

  test('a box that suits nobody already stands in the way of nothing else, and a second one is refused', () => {
    const bad = [snake('maize', { plan: cold(-30) }), gecko('linden')]
    const before = house(...bad)
    const other = gecko('ash', { place: 'tank' })
    expect(objection(before)).toBe('bandsConflict')
    expect(objection(house(...bad, other), before)).toBeNull()
    const second = house(...bad, other, snake('rowan', { place: 'tank', plan: cold(-30) }))
    expect(objection(second, before)).toBe('bandsConflict')
  })
})
