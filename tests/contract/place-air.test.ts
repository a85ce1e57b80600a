import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { House } from '../../daemon/app/house.ts'
import { airOfPlace, drawAir } from '../../daemon/app/place-air.ts'
import type { JudgedReading, Store } from '../../daemon/ports/store.ts'
import { PlaceAir } from '../../schemas/air.ts'
import { celsius, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import { PlaceId, SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { dewPoint, vapourPressureDeficit } from '../../shared/air/psychrometrics.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import {
  aReading,
  batchOf,
  clock,
  hour,
  midnight,
  minute,
  openStore,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

const [hygro, wall, oldHygro] = ['hygro', 'wall', 'old-hygro'].map((id) => SensorId.parse(id)) as [
  SensorId,
  SensorId,
  SensorId,
]
const sensor = (id: SensorId, place: string, more: object = {}) => ({
  id,
  name: id,
  place,
  topic: `cellar/${id}`,
  ...more,
})

/** A fridge with a hygrometer, and a thermometer at its wall, which has shown 2 K too much since 04:00; a box in it; an attic. */
const household = Household.parse({
  version: 1,
  name: 'Damp house',
  timeZone: 'UTC',
  places: [
    { id: 'fridge', name: 'Fridge', kind: 'fridge' },
    { id: 'box', name: 'Box', kind: 'box', parent: 'fridge' },
    { id: 'attic', name: 'Attic', kind: 'frame' },
  ],
  sensors: [
    sensor(hygro, 'fridge'),
    sensor(oldHygro, 'box'),
    sensor(wall, 'fridge', {
      spot: 'substrate',
      calibrations: [
        {
          from: clock(4),
          quantity: 'temperature',
          offset: -2,
          uncertainty: 0.05,
          references: [{ raw: 2, true: 0, uncertainty: 0.05 }],
          method: 'icePoint',
          by: 'Ada',
        },
      ],
    }),
  ],
})

const time = simulatedTime(clock(48))
const folder = { path: '', remove: () => {} }
let store: Store
let house: House
let http: HttpHouse
let pauses = 0
beforeEach(async () => {
  pauses = 0
  Object.assign(folder, temporaryFolder())
  store = openStore(folder.path).store
  house = houseOver(store, time, household)
  http = await httpHouse()
  const pause = (): Promise<void> => {
    pauses += 1
    return Promise.resolve()
  }
  http.desk.air = drawAir({ house, store, clock: time.clock, pause }).air
})
afterEach(async () => {
  house.close()
  store.close()
  folder.remove()
  await http.close()
})

/** The same value every ten minutes, which is as long as one holds. */
const steady = (
  of: SensorId,
  quantity: 'temperature' | 'humidity',
  value: number,
  from: number,
  to: number,
) =>
  Array.from({ length: (to - from) * 6 }, (_, i) =>
    aReading(clock(from) + i * 10 * minute, value, { sensor: of, quantity }),
  )
const url = (place: string, from: number, to: number): string =>
  `/api/places/${place}/air?from=${clock(from)}&to=${clock(to)}`
async function airOf(place: string, from: number, to: number): Promise<PlaceAir> {
  const answer = await http.as(await http.signedIn('sitter'), 'GET', url(place, from, to))
  expect([answer.statusCode, answer.json()]).toEqual([200, expect.anything()])
  return PlaceAir.parse(answer.json())
}
const deficit = vapourPressureDeficit(celsius(5), 80)
const dew = dewPoint(celsius(5), 80) ?? Number.NaN

describe('the air of a place, by its readings', () => {
  test('how it dried, and how long its coldest surface was wet, by the calibration of each reading’s own time', async () => {
    store.commit(
      batchOf(
        ...steady(hygro, 'temperature', 5, 0, 8),
        ...steady(hygro, 'humidity', 80, 0, 8),
        ...steady(wall, 'temperature', dew + 1.9, 0, 8), // from 04:00 on truly a tenth below the dew point
      ),
    )
    const air = await airOf('fridge', 0, 8)
    expect(air).toMatchObject({
      humidity: hygro,
      temperature: hygro,
      known: 8 * hour,
      unknown: 0,
      fromHours: 0,
    })
    expect(air.meanDeficit).toBeCloseTo(deficit, 9)
    expect(air.drying).toBeCloseTo(deficit * 8, 9)
    expect(air.wetting).toEqual({ wet: 4 * hour, near: 0, dry: 4 * hour, unknown: 0 })
  })

  test('a box without a hygrometer of its own, or with one that has died, breathes the fridge’s air', async () => {
    store.commit(
      batchOf(...steady(hygro, 'temperature', 5, 30, 34), ...steady(hygro, 'humidity', 80, 30, 34)),
    )
    expect(await airOf('box', 30, 34)).toMatchObject({ humidity: hygro, known: 4 * hour, wetting: null })
    store.commit(
      batchOf(...steady(oldHygro, 'temperature', 9, 0, 1), ...steady(oldHygro, 'humidity', 50, 0, 1)),
    )
    expect(await airOf('box', 30, 34)).toMatchObject({ humidity: hygro, known: 4 * hour })
    expect(await airOf('box', 0, 1)).toMatchObject({ humidity: oldHygro, known: hour })
  })

  test('L2: after ten minutes of silence time is unknown, and so is what a sensor under check reads', async () => {
    store.commit(
      batchOf(
        ...steady(hygro, 'temperature', 5, 0, 4),
        ...steady(hygro, 'humidity', 80, 0, 2),
        ...steady(hygro, 'humidity', 99, 2, 4).map((one): JudgedReading => ({ ...one, quality: 'checking' })),
      ),
    )
    const air = await airOf('fridge', 0, 4)
    expect([air.known, air.unknown]).toEqual([2 * hour, 2 * hour])
    expect(air.meanDeficit).toBeCloseTo(deficit, 9)
  })

  test('the value that held when the stretch begins counts for what is left of its ten minutes', async () => {
    store.commit(
      batchOf(
        aReading(clock(1) - 4 * minute, 5, { sensor: hygro }),
        aReading(clock(1) - 3 * minute, 80, { sensor: hygro, quantity: 'humidity' }),
      ),
    )
    expect(await airOf('fridge', 1, 2)).toMatchObject({ known: 6 * minute, unknown: 54 * minute })
  })

  test('where nothing measures humidity that is said, and no figure is made up', async () => {
    store.commit(batchOf(...steady(hygro, 'temperature', 5, 0, 4)))
    expect(await airOf('attic', 0, 4)).toMatchObject({
      humidity: null,
      meanDeficit: null,
      known: 0,
      wetting: null,
    })
    expect(await airOf('fridge', 0, 4)).toMatchObject({ humidity: null, unknown: 4 * hour })
  })

  test('it ends now at the latest, and lets others have their turn after each day', async () => {
    store.commit(batchOf(...steady(hygro, 'temperature', 5, 0, 1), ...steady(hygro, 'humidity', 80, 0, 1)))
    expect(await airOf('fridge', 0, 100)).toMatchObject({ to: clock(48), unknown: 47 * hour })
    expect(pauses).toBe(1)
  })

  test('of thinned hours the means are taken, near the truth; whether a surface was wet in them is unknown', async () => {
    store.commit(
      batchOf(
        ...steady(hygro, 'temperature', 5, 0, 12).map((one, i) => ({ ...one, value: 5 + Math.sin(i) })),
        ...steady(hygro, 'humidity', 80, 0, 12),
        ...steady(wall, 'temperature', 4, 0, 12),
      ),
    )
    const exact = await airOf('fridge', 0, 12)
    store.fold(clock(100), zonesByHand, 'folded')
    expect(await airOf('fridge', 0, 12)).toEqual(exact)
    store.thin(clock(100), 6 * 3)
    const near = await airOf('fridge', 0, 12)
    expect(near.fromHours).toBeGreaterThan(0)
    expect([near.known, near.unknown]).toEqual([exact.known, exact.unknown])
    expect(near.meanDeficit).toBeCloseTo(exact.meanDeficit ?? Number.NaN, 2)
    expect(near.wetting?.unknown).toBeGreaterThanOrEqual(near.fromHours)
  })
})

test('whatever was heard, each moment is known or unknown, by surface as by air, and cut in two it is the same', async () => {
  const pair = {
    humidity: Sensor.parse(sensor(hygro, 'fridge')),
    temperature: Sensor.parse(sensor(hygro, 'fridge')),
  }
  const asked = (from: number, to: number) => ({
    place: PlaceId.parse('fridge'),
    from: instant(from),
    to: instant(to),
    pair,
    surfaces: [Sensor.parse(sensor(wall, 'fridge'))],
  })
  const said = fc.tuple(
    fc.constantFrom(...(['temperature', 'humidity'] as const)),
    fc.constantFrom(hygro, wall),
    fc.integer({ min: 0, max: 300 }),
    fc.integer({ min: 0, max: 40 }),
  )
  await fc.assert(
    fc.asyncProperty(
      fc.array(said, { maxLength: 40 }),
      fc.integer({ min: 1, max: 299 }),
      async (all, cut) => {
        const own = temporaryFolder()
        const { store: kept } = openStore(own.path)
        try {
          kept.commit(
            batchOf(
              ...all.map(([quantity, of, at, value]) =>
                aReading(midnight + at * minute, value, { sensor: of, quantity }),
              ),
            ),
          )
          const air = (from: number, to: number) =>
            airOfPlace(kept, zonesByHand, asked(midnight + from * minute, midnight + to * minute), () =>
              Promise.resolve(),
            )
          const [whole, first, second] = [await air(0, 300), await air(0, cut), await air(cut, 300)]
          expect(whole.known + whole.unknown).toBe(300 * minute)
          const { wet, near, dry, unknown } = whole.wetting ?? { wet: 0, near: 0, dry: 0, unknown: 0 }
          expect(wet + near + dry + unknown).toBe(300 * minute)
          expect(first.known + second.known).toBe(whole.known)
          expect((first.wetting?.wet ?? 0) + (second.wetting?.wet ?? 0)).toBe(wet)
          expect(first.drying + second.drying).toBeCloseTo(whole.drying, 9)
        } finally {
          kept.close()
          own.remove()
        }
      },
    ),
    { numRuns: 30 },
  )
})

test('X1, X3: whoever is signed in may read it, at most 31 days of a place that is there; each refusal is told as a value', async () => {
  const keeper = await http.signedIn('keeper')
  const status = async (asked: string, cookie = keeper) => (await http.as(cookie, 'GET', asked)).statusCode
  const now = clock(48)
  const stretch = (from: number, to: number): string => `/api/places/fridge/air?from=${from}&to=${to}`
  expect(await status(stretch(later(now, -31 * 24 * hour), now))).toBe(200)
  expect(await status(stretch(later(now, -31 * 24 * hour - 1), now))).toBe(422)
  expect(await status(stretch(now, later(now, minutes(5))))).toBe(422)
  expect(await status(stretch(later(now, -hours(1)), later(now, -hours(1))))).toBe(422)
  expect(await status('/api/places/cellar/air?from=0&to=1')).toBe(404)
  expect(await status('/api/places/fridge/air?from=0')).toBe(400)
  expect(await status(url('fridge', 0, 1), await http.signedIn('sitter'))).toBe(200)
  expect(await status(url('fridge', 0, 1), '')).toBe(401)
})
