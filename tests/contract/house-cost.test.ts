import { afterEach, beforeEach, expect, test } from 'vitest'
import { drawCurves } from '../../daemon/app/curves.ts'
import type { House } from '../../daemon/app/house.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import {
  aReading,
  batchOf,
  hour,
  midnight,
  minute,
  openStore,
  probe,
  temporaryFolder,
} from '../support/store-world.ts'

const box = 'box' as PlaceId
const attic = 'attic' as PlaceId
const corrected = later(midnight, hours(2))

/** A box with a keeper's limit of 4 °C, whose probe has shown 1.25 K too much since `corrected`; an attic without a probe. */
const household = Household.parse({
  version: 1,
  name: 'Cost house',
  timeZone: 'UTC',
  places: [
    {
      id: box,
      name: 'Box',
      kind: 'frame',
      ownLimits: [{ quantity: 'temperature', limit: 'low', value: 4, for: 60_000 }],
    },
    { id: attic, name: 'Attic', kind: 'frame' },
  ],
  sensors: [
    {
      id: probe,
      name: 'Probe',
      place: box,
      topic: 'cellar/probe',
      calibrations: [
        {
          from: corrected,
          quantity: 'temperature',
          offset: -1.25,
          uncertainty: 0.05,
          references: [{ raw: 1.25, true: 0, uncertainty: 0.05 }],
          method: 'icePoint',
          by: 'Ada',
        },
      ],
    },
  ],
})

const folder = { path: '', remove: () => {} }
const time = simulatedTime(later(midnight, hours(4)))
let store: Store
let house: House
beforeEach(() => {
  Object.assign(folder, temporaryFolder())
  store = openStore(folder.path).store
  // 5 °C, as the probe says it, every ten minutes of four hours, before the house opens
  store.commit(batchOf(...Array.from({ length: 24 }, (_, i) => aReading(midnight + i * 10 * minute, 5))))
  house = houseOver(store, time, household)
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

const asked = (place: PlaceId, from: number, to: number) =>
  drawCurves({ house, store, clock: time.clock, pause: () => Promise.resolve() }).cost(
    place,
    instant(from),
    instant(to),
  )
async function costOf(place: PlaceId, from: number, to: number) {
  const outcome = await asked(place, from, to)
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value
}

test('a place is told what four hours cost by its own limits, and by the calibration of each reading’s time', async () => {
  const cost = await costOf(box, midnight, midnight + 4 * hour)
  expect(cost).toMatchObject({ place: box, sensor: probe, known: 4 * hour, unknown: 0, fromHours: 0 })
  expect([cost.min?.value, cost.min?.at, cost.max?.value]).toEqual([3.75, corrected, 5])
  expect(cost.mean).toBeCloseTo(4.375, 9)
  expect(cost.meanKinetic?.least).toBeGreaterThan(4.375)
  const low = cost.beyond.find(({ limit }) => limit === 'low')
  expect(low).toEqual({ limit: 'low', time: 2 * hour, degreeHours: { least: 0.5, most: 0.5 } })
  expect(cost.nights).toEqual([{ date: '2026-01-09', at: corrected, min: 3.75 }])
})

test('it ends now at the latest: what is still to come is not unknown time', async () => {
  const cost = await costOf(box, midnight, midnight + 100 * hour)
  expect([cost.to, cost.unknown]).toEqual([midnight + 4 * hour, 0])
})

test('a place that no sensor ever judged is all unknown', async () => {
  expect(await costOf(attic, midnight, midnight + hour)).toMatchObject({
    sensor: null,
    known: 0,
    unknown: hour,
    mean: null,
  })
})

test('X3: at most 400 days, which is told as a value; so are a stretch still to come and a place that is not there', async () => {
  const day = 24 * hour
  const now = midnight + 4 * hour
  expect((await asked(box, now - 400 * day, now)).ok).toBe(true)
  expect(await asked(box, now - 400 * day - 1, now)).toMatchObject({ ok: false, error: 'badStretch' })
  expect(await asked(box, now, now + minutes(5))).toMatchObject({ ok: false, error: 'badStretch' })
  expect(await asked('cellar' as PlaceId, 0, 1)).toMatchObject({ ok: false, error: 'noSuchPlace' })
})
