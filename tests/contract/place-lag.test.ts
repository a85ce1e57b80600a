import { afterEach, beforeEach, expect, test } from 'vitest'
import type { House } from '../../daemon/app/house.ts'
import { measureLag } from '../../daemon/app/place-lag.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { days, hours, later, millis, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import { type PlaceId, SensorId } from '../../schemas/ids.ts'
import { PlaceLag } from '../../schemas/lag.ts'
import { startLag, stepLag } from '../../shared/thermal/lag.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { aReading, batchOf, midnight, openStore, temporaryFolder } from '../support/store-world.ts'

const [air, soil, room] = ['air', 'soil', 'room'].map((id) => SensorId.parse(id))
const [box, bare, fridge] = ['box', 'bare', 'fridge'] as PlaceId[]
const corrected = later(midnight, hours(30))

/** A fridge with a probe in its air, a box in it with one in its soil, and a box without; the air's probe was checked. */
const household = Household.parse({
  version: 1,
  name: 'Lag house',
  timeZone: 'UTC',
  places: [
    { id: 'cellar', name: 'Cellar', kind: 'room' },
    { id: fridge, name: 'Fridge', kind: 'fridge', parent: 'cellar' },
    { id: box, name: 'Box', kind: 'box', parent: fridge },
    { id: bare, name: 'Bare box', kind: 'box', parent: fridge },
    { id: 'hutch', name: 'Hutch', kind: 'box', parent: 'cellar' },
  ],
  sensors: [
    {
      id: air,
      name: 'Air',
      place: fridge,
      topic: 'a',
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
    { id: soil, name: 'Soil', place: box, topic: 's', spot: 'substrate' },
    { id: room, name: 'Room', place: 'cellar', topic: 'r' },
    { id: 'hutch-soil', name: 'Hutch soil', place: 'hutch', topic: 'h', spot: 'substrate' },
  ],
})

const folder = { path: '', remove: () => {} }
const time = simulatedTime(later(midnight, days(2)))
let store: Store
let house: House
beforeEach(() => {
  Object.assign(folder, temporaryFolder())
  store = openStore(folder.path).store
  house = houseOver(store, time, household)
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

const lagOf = async (place: PlaceId) => {
  const outcome = await measureLag({
    house,
    store,
    clock: time.clock,
    pause: () => Promise.resolve(),
  }).lag(place)
  if (!outcome.ok) return outcome.error
  return PlaceLag.parse(outcome.value)
}

/** Two days of a fridge that was turned by 3 K, with its runs; the soil follows with three hours. */
function twoDays(more: { readonly bad?: boolean } = {}): void {
  let lag = startLag({ at: midnight, celsius: 7 })
  for (let ms = 0; ms < days(2); ms += minutes(1)) {
    const at = later(midnight, ms)
    const celsius = (ms < hours(12) ? 7 : 4) + Math.sin((2 * Math.PI * ms) / minutes(45))
    lag = stepLag(lag, { at, celsius }, millis(hours(3)))
    const readings = [
      // As the sensor says it: since the check it shows a kelvin too much
      aReading(at, celsius + (at >= corrected ? 1 : 0), { sensor: air as SensorId }),
      aReading(at, lag.celsius, { sensor: soil as SensorId }),
      ...(more.bad === true
        ? [aReading(at + 1, -127, { sensor: soil as SensorId, quality: 'outOfRange' })]
        : []),
    ]
    store.commit(batchOf(...readings))
  }
}

test('L11: soil that follows its fridge with three hours is found out from two days, by calibrated and believed readings', async () => {
  twoDays({ bad: true })
  const lag = await lagOf(box as PlaceId)
  expect(lag).toMatchObject({ isKnown: true, air, follower: soil })
  if (typeof lag === 'string' || !lag.isKnown) throw new Error('not known')
  expect(lag.tau / hours(3)).toBeCloseTo(1, 1)
  expect(lag.above).toBeCloseTo(0, 1)
  expect(lag.to - lag.from).toBeGreaterThan(hours(47))
})

test('what is missing is said: no probe, no air around it, too little heard, no such place', async () => {
  twoDays()
  expect(await lagOf(bare as PlaceId)).toMatchObject({ isKnown: false, why: 'noProbe' })
  expect(await lagOf('nowhere' as PlaceId)).toBe('noSuchPlace')
  store.commit(
    batchOf(
      aReading(midnight, 5, { sensor: SensorId.parse('hutch-soil') }),
      aReading(midnight, 9, { sensor: room as SensorId }),
    ),
  )
  // The room's air is not the hutch's: a box without a probe in its air has none
  expect(await lagOf('hutch' as PlaceId)).toMatchObject({ isKnown: false, why: 'noAir' })
  expect(await lagOf(fridge as PlaceId)).toMatchObject({ isKnown: false, why: 'noProbe' })
})

test('with two hours of both it is not known yet, and the sentence says what it takes', async () => {
  for (let ms = 0; ms < hours(2); ms += minutes(1))
    store.commit(
      batchOf(
        aReading(midnight + days(1) + ms, 5 + Math.sin(ms), { sensor: air as SensorId }),
        aReading(midnight + days(1) + ms, 5, { sensor: soil as SensorId }),
      ),
    )
  const lag = await lagOf(box as PlaceId)
  expect(lag).toMatchObject({ isKnown: false, why: 'tooShort' })
  expect(typeof lag !== 'string' && !lag.isKnown && lag.sentence).toMatch(/half a day/)
})
