import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { objectionTo } from '../../daemon/app/edits.ts'
import type { House } from '../../daemon/app/house.ts'
import { notStored } from '../../daemon/app/not-stored.ts'
import { openProfiles } from '../../daemon/app/own-profiles.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { hours, later, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { AnimalId, SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { midnight, openStore, probe, temporaryFolder } from '../support/store-world.ts'

const toad = profileOf('bufo-bufo' as SpeciesId)
if (toad === undefined) throw new Error('no toad')

/** A stock that is held warmer: its high limits moved up. */
const warmStock = (by: number): SpeciesProfile => ({
  ...toad,
  id: 'own-warm-toad' as SpeciesId,
  common: 'Warm stock',
  own: { from: toad.id, reason: 'The vet of the stock said so.' },
  hold: {
    humidity: [],
    temperature: (toad.hold?.temperature ?? []).map((one) =>
      one.limit.startsWith('high')
        ? { ...one, value: one.value + by, source: 'set by the keeper: the vet of the stock said so' }
        : one,
    ),
  },
})

const held = (species: string, id: string) => ({
  id: id.toLowerCase(),
  name: id,
  species,
  place: 'box',
  mode: 'goesDown',
  plan: [{ phase: 'hold', from: midnight }],
})
const home = Household.parse({
  version: 1,
  name: 'Toad house',
  timeZone: 'UTC',
  places: [{ id: 'box', name: 'Box', kind: 'box' }],
  sensors: [{ id: probe, name: 'Probe', place: 'box', topic: 'a', type: 'ds18b20' }],
  animals: [held('bufo-bufo', 'Tilda')],
})

const folder = { path: '', remove: () => {} }
const time = simulatedTime(later(midnight, hours(1)))
let opened: ReturnType<typeof openStore>
let store: Store
let house: House
let isDiskFull = false

function opens(): void {
  opened = openStore(folder.path)
  store = opened.store
  house = houseOver(store, time, home)
}
const household = () => house.state().layout.household
const save = (next: Household, by: string, text: string) => {
  const objection = objectionTo(next, profileOf, time.clock.now())
  if (objection !== null) return { ok: false as const, ...objection }
  if (isDiskFull) return notStored
  house.rehouse(next, { at: time.clock.now(), kind: 'changed', by, text })
  return { ok: true as const }
}
const profiles = () => openProfiles({ household, catalogue: profileOf, save })
const goesBy = (species: string) =>
  save(
    {
      ...household(),
      animals: household().animals.map((one) => ({ ...one, species: species as SpeciesId })),
    },
    'Ada',
    'x',
  )
const highInBox = () => {
  const out = house.state().layout.places[0]?.tenants[0]?.profile.hold?.temperature
  return out?.find(({ limit }) => limit === 'high')?.value
}

beforeEach(() => {
  isDiskFull = false
  Object.assign(folder, temporaryFolder())
  opens()
})
afterEach(() => {
  opened.db.close()
  folder.remove()
})

describe("the keeper's own profiles in a real house", () => {
  test('an animal goes by one at once, and after a restart still does', () => {
    expect(profiles().saveProfile(warmStock(1), 'Ada')).toMatchObject({ ok: true })
    expect(goesBy('own-warm-toad')).toEqual({ ok: true })
    expect(highInBox()).toBe(7)
    opened.db.close()
    opens()
    expect(household().profiles).toEqual([warmStock(1)])
    expect(highInBox()).toBe(7)
  })

  test('its changed limit is judged from then on: 6.5 °C raises under the old one, not under the new', async () => {
    const pass = async (celsius: number) => {
      for (let n = 0; n < 40; n += 1) {
        await time.pass(minutes(1))
        const at = time.clock.now()
        house.take(
          {
            kind: 'reading',
            heardAt: at,
            reading: { sensor: probe, quantity: 'temperature', value: celsius, at },
          },
          'soon',
        )
      }
      return [...house.state().alarms.values()]
        .filter(({ state }) => state.name !== 'normal')
        .map(({ id }) => id)
    }
    profiles().saveProfile(warmStock(1), 'Ada')
    goesBy('own-warm-toad')
    expect(await pass(6.5)).toEqual([])
    profiles().saveProfile(warmStock(0), 'Ada')
    expect(await pass(6.5)).toEqual(['limit:box:temperature:high'])
  })

  test('cannot be removed while an animal or another profile goes by it', () => {
    profiles().saveProfile(warmStock(1), 'Ada')
    goesBy('own-warm-toad')
    expect(profiles().removeProfile('own-warm-toad' as SpeciesId, 'Ada')).toEqual({
      ok: false,
      error: 'inUse',
      sentence: 'Tilda goes by it; give it another profile first.',
    })
    goesBy('bufo-bufo')
    const second = {
      ...warmStock(1),
      id: 'own-second' as SpeciesId,
      common: 'Second stock',
      own: { from: 'own-warm-toad' as SpeciesId, reason: 'x' },
    }
    expect(profiles().saveProfile(second, 'Ada')).toMatchObject({ ok: true })
    expect(profiles().removeProfile('own-warm-toad' as SpeciesId, 'Ada')).toMatchObject({
      error: 'inUse',
      sentence: 'Second stock goes by it; give it another profile first.',
    })
    expect(profiles().removeProfile('own-second' as SpeciesId, 'Ada')).toEqual({ ok: true, value: null })
    expect(profiles().removeProfile('own-warm-toad' as SpeciesId, 'Ada')).toEqual({ ok: true, value: null })
    expect(household().profiles).toEqual([])
  })

  test('L8: a change that leaves no temperature for those who share a box is refused, with both named', () => {
    profiles().saveProfile(warmStock(1), 'Ada')
    const tortoise = { ...household().animals[0], ...held('testudo-hermanni', 'Juno') }
    const box = {
      ...household(),
      animals: [...household().animals, tortoise as Household['animals'][number]],
    }
    expect(save(box, 'Ada', 'x')).toEqual({ ok: true })
    goesByAlone('tilda' as AnimalId, 'own-warm-toad')
    const tooWarm = {
      ...warmStock(1),
      season: {
        ...warmStock(1).season,
        aim: { value: 12, source: 'set by the keeper: x', evidence: 'commonPractice' },
        warm: { value: 16, source: 'set by the keeper: x', evidence: 'commonPractice' },
      },
      hold: {
        humidity: [],
        temperature: (toad.hold?.temperature ?? []).map((one) => ({
          ...one,
          value: one.value + 9,
          source: 'set by the keeper: x',
        })),
      },
    } as SpeciesProfile
    const refused = profiles().saveProfile(tooWarm, 'Ada')
    expect(refused).toMatchObject({ ok: false, error: 'bandsConflict' })
    expect(refused.ok ? '' : refused.sentence).toMatch(
      /^No temperature in Box suits both: .*Tilda.*Juno|Juno.*Tilda/,
    )
    expect(household().profiles).toEqual([warmStock(1)])
  })

  test('one that loses its hold while an animal goes down by it is refused (S1)', () => {
    profiles().saveProfile(warmStock(1), 'Ada')
    goesBy('own-warm-toad')
    const { hold: _, season: __, ...rest } = warmStock(1)
    expect(profiles().saveProfile({ ...rest, winter: 'never' }, 'Ada')).toMatchObject({
      error: 'mustNotGoDown',
    })
  })

  test('what cannot be written is refused and says so', () => {
    isDiskFull = true
    expect(profiles().saveProfile(warmStock(1), 'Ada')).toMatchObject({ ok: false, error: 'notStored' })
    expect(household().profiles).toEqual([])
  })
})

const goesByAlone = (id: AnimalId, species: string) =>
  save(
    {
      ...household(),
      animals: household().animals.map((one) =>
        one.id === id ? { ...one, species: species as SpeciesId } : one,
      ),
    },
    'Ada',
    'x',
  )
