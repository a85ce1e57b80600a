import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Household } from '../../schemas/household.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { boxLack, firstSteps, isSameClock } from '../../web/first/steps.ts'

const house = (parts: object = {}): Household =>
  Household.parse({ version: 1, name: 'Mill Lane', timeZone: 'Europe/Vienna', ...parts })
const fridge = { id: 'fridge', name: 'Cellar fridge', kind: 'fridge' }
const box = { id: 'box', name: 'Low shelf box', kind: 'box', parent: 'fridge' }
const probe = (place: string | null) => ({
  id: 'probe',
  name: 'Probe',
  place,
  type: 'ds18b20',
  topic: 'brumal/in/probe',
  expectedEvery: 60_000,
})
const juno = (place: string | null) => ({
  id: 'juno',
  name: 'Juno',
  species: 'testudo-hermanni',
  place,
  mode: 'goesDown',
})
/** Whether a channel was added, and whether it was heard to ring. */
const told = (rungAt: number | null): TellingNow['contacts'] =>
  [{ contact: {}, channels: [{ rungAt }] }] as unknown as TellingNow['contacts']
const done = (...given: Parameters<typeof firstSteps>): string[] =>
  firstSteps(...given).flatMap((step) => (step.isDone ? [step.name] : []))

describe('the first steps', () => {
  test('of an empty house: whoever sees them has a password, and the zone may be right', () => {
    expect(done(house(), [], false)).toEqual(['password'])
    expect(done(house(), [], true)).toEqual(['password', 'zone'])
  })

  test('a sensor counts once it is claimed, wherever it sits', () => {
    expect(done(house({ sensors: [probe(null)] }), [], true)).toEqual(['password', 'zone', 'sensor'])
  })

  test('S1: a contact counts with a way to reach it, and the ring test once it was heard', () => {
    const nameless = [{ contact: {}, channels: [] }] as unknown as TellingNow['contacts']
    expect(done(house(), nameless, false)).toEqual(['password'])
    expect(done(house(), told(null), false)).toEqual(['password', 'contact'])
    expect(done(house(), told(0), false)).toEqual(['password', 'contact', 'ring'])
  })

  test('a guarded box settles the time zone: its nights were seen by it', () => {
    const home = house({ places: [fridge, box], sensors: [probe('box')], animals: [juno('box')] })
    expect(done(home, [], false)).toEqual(['password', 'zone', 'sensor', 'box'])
  })
})

describe('what a box lacks', () => {
  test.each([
    ['a place, in an empty house', {}, 'place'],
    ['an animal, where nobody lives', { places: [fridge, box] }, 'animal'],
    ['an animal, where it lives nowhere yet', { places: [box0()], animals: [juno(null)] }, 'animal'],
    ['a sensor, where none sits', { places: [fridge, box], animals: [juno('box')] }, 'sensor'],
    [
      'a sensor, where one sits nowhere yet',
      { places: [fridge, box], animals: [juno('box')], sensors: [probe(null)] },
      'sensor',
    ],
    [
      'nothing, with a sensor of its own',
      { places: [fridge, box], animals: [juno('box')], sensors: [probe('box')] },
      null,
    ],
    [
      'nothing, judged by its fridge’s (L10)',
      { places: [fridge, box], animals: [juno('box')], sensors: [probe('fridge')] },
      null,
    ],
    [
      'a sensor, where one sits only in what it holds',
      { places: [fridge, box], animals: [juno('fridge')], sensors: [probe('box')] },
      'sensor',
    ],
  ])('%s', (_, parts, lack) => {
    expect(boxLack(house(parts))).toBe(lack)
  })

  function box0() {
    return { id: 'box', name: 'Low shelf box', kind: 'box' }
  }
})

describe('two names of a time zone', () => {
  // IANA time zone database: Europe/Kiev is a link to Europe/Kyiv; Iceland keeps UTC, Britain does in winter only.
  const now = Date.UTC(2026, 10, 26, 12)
  test.each([
    ['Europe/Kiev', 'Europe/Kyiv', true],
    ['Europe/Vienna', 'Europe/Berlin', true],
    ['Atlantic/Reykjavik', 'UTC', true],
    ['Europe/London', 'UTC', false],
    ['Europe/Vienna', 'UTC', false],
  ])('%s and %s: the same clock is %s', (one, other, isSame) => {
    expect(isSameClock(one, other, now)).toBe(isSame)
    expect(isSameClock(other, one, now)).toBe(isSame)
  })

  test('a zone is always its own clock', () => {
    fc.assert(
      fc.property(fc.constantFrom(...Intl.supportedValuesOf('timeZone')), (zone) =>
        isSameClock(zone, zone, now),
      ),
    )
  })
})
