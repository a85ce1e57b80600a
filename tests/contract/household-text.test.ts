import { describe, expect, test } from 'vitest'
import { householdFromYaml, householdToYaml } from '../../daemon/cli/household-text.ts'
import { Household } from '../../schemas/household.ts'
import { instant } from '../../schemas/amounts.ts'
import { SpeciesId } from '../../schemas/ids.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

const now = instant(Date.UTC(2026, 10, 20))
const key = '231d39c1d7cc1ab1aee224cd096db932'

const house = Household.parse({
  version: 1,
  name: 'Winter house: "no"',
  timeZone: 'Europe/Vienna',
  places: [
    { id: 'fridge', name: 'Fridge', kind: 'fridge' },
    { id: 'box-1', name: 'Box 1', kind: 'box', parent: 'fridge' },
  ],
  sensors: [
    {
      id: 'probe',
      name: 'Probe',
      place: 'box-1',
      topic: 'cellar/+/state',
      decoder: { kind: 'bthome', key, mac: '5448e68f80a5' },
    },
    { id: 'air', name: 'Air', place: null, topic: 'cellar/air', decoder: { kind: 'auto' } },
  ],
  animals: [
    {
      id: 'moss',
      name: 'Moss',
      species: 'testudo-hermanni',
      place: 'box-1',
      mode: 'goesDown',
      plan: [
        { phase: 'hold', from: Date.UTC(2026, 11, 1) },
        { phase: 'awake', from: Date.UTC(2027, 2, 1) },
      ],
    },
  ],
})

const mistakesIn = (text: string) => {
  const read = householdFromYaml(text, null, now)
  return read.ok ? [] : read.mistakes
}

describe('the household as YAML', () => {
  test('goes out and in whole', () => {
    const read = householdFromYaml(householdToYaml(house), house, now)
    expect(read).toEqual({ ok: true, household: house })
  })

  test("the keeper's own profiles go out and in with the animals that go by them; one without limits stays out (S1)", () => {
    const tortoise = profileOf(SpeciesId.parse('testudo-hermanni'))
    const mine = {
      ...tortoise,
      id: 'own-stock',
      own: { from: 'testudo-hermanni', reason: 'The vet said so.' },
    }
    const animals = house.animals.map((one) => ({ ...one, species: 'own-stock' }))
    const home = Household.parse({ ...house, animals, profiles: [mine] })
    expect(householdFromYaml(householdToYaml(home), home, now)).toEqual({ ok: true, household: home })

    const unsafe = { ...home, profiles: [{ ...mine, active: { temperature: [], humidity: [] } }] }
    expect(mistakesIn(householdToYaml(Household.parse(unsafe)))).toEqual([
      {
        path: 'profiles.0',
        line: expect.any(Number) as number,
        message: 'Awake it needs a low limit of temperature.',
      },
    ])
  })

  test('X4: a decryption key does not go out, and coming in it is taken from the sensor that had it', () => {
    const text = householdToYaml(house)
    expect(text).not.toContain(key)
    const alone = householdFromYaml(text, null, now)
    expect(alone.ok && alone.household.sensors[0]?.decoder).toEqual({ kind: 'bthome', mac: '5448e68f80a5' })
  })

  test('every mistake of its shape is listed with path and line', () => {
    const text = householdToYaml(house)
      .replace('kind: fridge', 'kind: freezer')
      .replace('mode: goesDown', 'mode: naps')
      .replace('topic: cellar/air', 'topic: cellar/air#\n    colour: red')
    expect(mistakesIn(text).map(({ path }) => path)).toEqual([
      'places.0.kind',
      'sensors.1.topic',
      'sensors.1.colour',
      'animals.0.mode',
    ])
    const lines = text.split('\n')
    for (const { path, line } of mistakesIn(text))
      expect(lines[(line ?? 0) - 1]).toContain(`${path.split('.').at(-1)}:`)
  })

  test('every name that leads nowhere or stands twice is listed with path and line', () => {
    const text = householdToYaml(house)
      .replace('parent: fridge', 'parent: cellar')
      .replace('place: box-1', 'place: box-2')
      .replace('species: testudo-hermanni', 'species: testudo-incognita')
      .replace('id: air', 'id: probe')
    expect(mistakesIn(text).map(({ path, message }) => `${path}: ${message}`)).toEqual([
      'sensors.1.id: probe stands twice',
      'places.1.parent: there is no place cellar',
      'sensors.0.place: there is no place box-2',
      'animals.0.species: no profile is known for testudo-incognita',
    ])
  })

  test('L8: a household whose animals cannot share a box is refused with both named', () => {
    const python = {
      ...house.animals[0],
      id: 'coil',
      name: 'Coil',
      species: 'python-regius',
      mode: 'staysAwake',
      plan: [],
    }
    const crowded = Household.parse({ ...house, animals: [...house.animals, python] })
    const [mistake] = mistakesIn(householdToYaml(crowded))
    expect(mistake?.message).toContain('Moss')
    expect(mistake?.message).toContain('Coil')
  })
})
