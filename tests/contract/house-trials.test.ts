import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { House } from '../../daemon/app/house.ts'
import { openTrials } from '../../daemon/app/trials.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { PlaceId, SpeciesId } from '../../schemas/ids.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import {
  aReading,
  batchOf,
  midnight,
  minute,
  openStore,
  otherProbe,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

const fridge = 'fridge' as PlaceId
const begins = midnight
const lasts = days(3)
const corrected = later(begins, days(1))

/** A fridge in a cellar: its probe has shown 1 K too much since `corrected`, and lay in ice for an hour of the second day. */
const household = (animal: object = {}): Household =>
  Household.parse({
    version: 1,
    name: 'Trial house',
    timeZone: 'UTC',
    places: [
      { id: 'cellar', name: 'Cellar', kind: 'room' },
      {
        id: fridge,
        name: 'Fridge',
        kind: 'fridge',
        parent: 'cellar',
        trial: { from: begins, until: null, by: 'Ada' },
      },
      { id: 'box', name: 'Box', kind: 'box', parent: fridge },
    ],
    sensors: [
      {
        id: probe,
        name: 'Probe',
        place: fridge,
        topic: 'a',
        type: 'ds18b20',
        check: { since: later(begins, hours(30)), until: later(begins, hours(31)), by: 'Ada' },
        calibrations: [
          {
            from: corrected,
            quantity: 'temperature',
            offset: -1,
            uncertainty: 0.05,
            references: [{ raw: 1, true: 0, uncertainty: 0.05 }],
            method: 'icePoint',
            by: 'Ada',
          },
        ],
      },
      { id: otherProbe, name: 'Room probe', place: 'cellar', topic: 'b', type: 'ds18b20' },
    ],
    animals: [
      {
        id: 'juno',
        name: 'Juno',
        species: 'testudo-horsfieldii',
        place: 'box',
        mode: 'goesDown',
        plan: [],
        ...animal,
      },
    ],
  })

const folder = { path: '', remove: () => {} }
const time = simulatedTime(later(begins, lasts))
let store: Store
let house: House
let pauses = 0

function opens(home: Household): void {
  house = houseOver(store, time, home)
}
const trials = () =>
  openTrials({
    house,
    store,
    clock: time.clock,
    catalogue,
    save: (next, by, text, place) => {
      house.rehouse(next, { at: time.clock.now(), kind: 'changed', by, text, place })
      return { ok: true }
    },
    pause: () => {
      pauses++
      return Promise.resolve()
    },
  })
const reportOf = async (species: readonly string[] | null = null) => {
  const outcome = await trials().trial(fridge, species as readonly SpeciesId[] | null)
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value.report
}

beforeEach(() => {
  pauses = 0
  Object.assign(folder, temporaryFolder())
  store = openStore(folder.path).store
  // 5 °C in truth, every five minutes; in its hour of ice 0 °C; one bad reading, and the room at 12 °C.
  const said = (at: number): number => {
    const isInIce = at >= begins + hours(30) && at < begins + hours(31)
    return (isInIce ? 0 : 5) + (at >= corrected ? 1 : 0)
  }
  const instants = Array.from({ length: lasts / minutes(5) }, (_, i) => begins + i * 5 * minute)
  store.commit(
    batchOf(
      ...instants.map((at) => aReading(at, said(at))),
      ...instants.map((at) => aReading(at, 12, { sensor: otherProbe })),
      aReading(begins + hours(40) + 1, -20, { quality: 'spike' }),
    ),
  )
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

describe('a trial run read from the store', () => {
  test('each reading takes the calibration of its time; ice and bad readings say nothing of the fridge', async () => {
    opens(household())
    const report = await reportOf()
    expect(report?.sensors).toHaveLength(1)
    expect(report?.sensors[0]).toMatchObject({ sensor: probe, isChecked: true, isAir: true })
    expect(report?.sensors[0]?.figures).toMatchObject({ min: { value: 5 }, max: { value: 5 } })
    expect(report?.sensors[0]?.figures?.mean).toBeCloseTo(5, 9)
    expect(report?.room).toMatchObject({ sensor: otherProbe, name: 'Cellar', mean: 12 })
    expect(report?.counted).toBe(days(3) - hours(12))
  })

  test('it is read a quarter of a day at a time, and others have their turn between', async () => {
    opens(household())
    await reportOf()
    expect(pauses).toBe(2 * (4 * 3 - 1))
  })

  test('hours that were thinned to hourly figures are left out, and the report says how many', async () => {
    opens(household())
    const reasonsOf = async () => (await reportOf())?.species[0]?.reasons.join(' ')
    const before = await reportOf()
    expect(before?.species[0]?.verdict).toBe('fitWithRemarks')
    expect(await reasonsOf()).not.toMatch(/hourly/)
    store.fold(later(begins, lasts), zonesByHand, '')
    expect(await reportOf()).toEqual(before)

    // Both sensors' first twenty hours, of which twelve settle and do not count.
    expect(store.thin(later(begins, hours(20)), 1000).hours).toBe(40)
    expect(await reasonsOf()).toMatch(/Of 8 h of it only hourly figures are still kept: they are left out/)
    expect((await reportOf())?.sensors[0]?.known).toBeLessThan(before?.sensors[0]?.known ?? 0)

    store.thin(later(begins, lasts), 1000)
    expect(await reportOf()).toMatchObject({ species: [{ verdict: 'notKnownYet' }] })
    // The hour in ice says nothing of the fridge in either form.
    expect(await reasonsOf()).toMatch(/Of 2 d 11 h of it only hourly figures/)
  })

  test('the species of the animal that goes down there is judged, unless others are asked for', async () => {
    opens(household())
    expect((await reportOf())?.species.map(({ species }) => species)).toEqual(['testudo-horsfieldii'])
    expect((await reportOf(['bufo-bufo']))?.species.map(({ species }) => species)).toEqual(['bufo-bufo'])
  })

  test("an animal that goes by a profile of the keeper's own is judged by it", async () => {
    const tortoise = catalogue.find(({ id }) => id === 'testudo-hermanni')
    const mine = {
      ...tortoise,
      id: 'own-stock',
      own: { from: 'testudo-hermanni', reason: 'The vet said so.' },
    }
    opens(Household.parse({ ...household({ species: 'own-stock' }), profiles: [mine] }))
    expect((await reportOf())?.species.map(({ species }) => species)).toEqual(['own-stock'])
  })

  test('where no animal goes down every species that may is judged', async () => {
    opens(household({ mode: 'staysAwake' }))
    const judged = (await reportOf())?.species.map(({ species }) => species)
    expect(judged).toEqual(catalogue.filter(({ hold }) => hold !== undefined).map(({ id }) => id))
  })

  test('an act is kept with the household and survives a restart (L7)', () => {
    opens(household())
    expect(trials().actOnTrial(fridge, { act: 'plugOut' }, 'Ada')).toMatchObject({ ok: true })
    house.close()
    opens(household())
    const place = house.state().layout.household.places.find(({ id }) => id === fridge)
    expect(place?.trial?.plugOut).toEqual([{ from: time.clock.now(), until: null }])
    expect(store.journal({ limit: 5 }).map(({ place: id, text }) => [id, text])).toContainEqual([
      fridge,
      'The plug of Fridge was pulled on purpose, for its trial run.',
    ])
  })

  test('with an animal down in a box inside it the plug stays in; an awake one is no hindrance', () => {
    opens(household({ plan: [{ phase: 'coolDown', from: later(begins, lasts) }] }))
    expect(trials().actOnTrial(fridge, { act: 'plugOut' }, 'Ada')).toEqual({
      ok: false,
      error: 'animalsDown',
      sentence: 'Juno is down in Fridge: a trial run is for an empty place.',
    })
  })

  test('a box without a thermometer has nothing to try', () => {
    opens(household())
    expect(trials().actOnTrial('box' as PlaceId, { act: 'begin', litres: 0 }, 'Ada')).toMatchObject({
      error: 'noSensor',
    })
  })
})
