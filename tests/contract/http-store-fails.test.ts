import { closeSync, openSync, statSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { drawCurves } from '../../daemon/app/curves.ts'
import { openOutlooks } from '../../daemon/app/outlooks.ts'
import { drawAir } from '../../daemon/app/place-air.ts'
import { measureLag } from '../../daemon/app/place-lag.ts'
import { openTrials } from '../../daemon/app/trials.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { later, minutes } from '../../schemas/amounts.ts'
import { Problem } from '../../schemas/api.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'
import { box, fridgeAir, outlookHouse, plugOut } from '../support/outlook-house.ts'
import { temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let home: ReturnType<typeof outlookHouse>
let http: HttpHouse
let keeper: string

beforeEach(async () => {
  folder = temporaryFolder()
  home = outlookHouse(folder.path)
  http = await httpHouse()
  keeper = await http.signedIn('keeper')
  const { layout } = home.house.state()
  const soil = { id: 'soil', name: 'Soil', place: box, topic: 's', spot: 'substrate' }
  home.house.rehouse(
    { ...layout.household, sensors: [...layout.household.sensors, Sensor.parse(soil)] },
    { at: home.time.clock.now(), kind: 'changed', by: 'Ada' },
  )
  await home.liveUntil(later(plugOut.from, minutes(30)))
  const { house, store, time, outlooks } = home
  const reading = {
    sensor: soil.id as SensorId,
    quantity: 'temperature',
    at: time.clock.now(),
    value: 5,
  } as const
  house.take({ kind: 'reading', reading, heardAt: reading.at }, 'group')
  const pause = () => Promise.resolve()
  Object.assign(http.desk, {
    ...drawCurves({ house, store, clock: time.clock, pause }),
    ...drawAir({ house, store, clock: time.clock, pause }),
    ...measureLag({ house, store, clock: time.clock, pause }),
    ...openTrials({
      house,
      store,
      clock: time.clock,
      catalogue,
      save: () => ({ ok: true }),
      pause,
    }),
    outlook: outlooks.outlook,
    journal: store.journal,
  })
})
afterEach(async () => {
  home.close()
  await http.close()
  folder.remove()
})

/** The disk gives other bytes than it was given, all over the file. */
function spoil(db: Database): void {
  home.house.commit()
  db.pragma('wal_checkpoint(TRUNCATE)')
  const path = join(folder.path, databaseName)
  const file = openSync(path, 'r+')
  writeSync(file, Buffer.alloc(statSync(path).size, 0xff), 0, statSync(path).size, 0)
  closeSync(file)
  // Pages that SQLite still has in memory would answer.
  db.pragma('shrink_memory')
}

const asked = () => {
  const stretch = `from=${plugOut.from}&to=${plugOut.from + minutes(20)}`
  return {
    outlook: '/api/places/fridge/outlook',
    lag: '/api/places/box/lag',
    air: `/api/places/fridge/air?${stretch}`,
    cost: `/api/places/fridge/cost?${stretch}`,
    series: `/api/sensors/${fridgeAir}/series?quantity=temperature&${stretch}&columns=100`,
    night: '/api/places/fridge/night?quantity=temperature',
    winter: '/api/places/fridge/winter?quantity=temperature',
    trial: '/api/places/fridge/trial',
    journal: '/api/journal?limit=10',
  }
}
const answers = async (): Promise<Record<string, unknown>> => {
  const all: Record<string, unknown> = {}
  for (const [name, url] of Object.entries(asked())) {
    const answer = await http.as(keeper, 'GET', url)
    all[name] = answer.statusCode === 200 ? 200 : [answer.statusCode, Problem.parse(answer.json()).code]
  }
  return all
}

const failed = [503, 'storeFails']

test('N2: what cannot be read just now is our failure, said in the same words by every route', async () => {
  expect(Object.values(await answers()).every((status) => status === 200)).toBe(true)
  // What was learnt a minute ago is shown as it is; later it would be read anew.
  await home.liveUntil(later(home.time.clock.now(), minutes(2)))
  spoil(home.db)
  const all = Object.keys(asked())
  expect(await answers()).toEqual(Object.fromEntries(all.map((name) => [name, failed])))
  const lines = http.log.lines.filter((line) => line.startsWith('error'))
  expect(lines).toHaveLength(all.length)
  expect(lines.every((line) => line.startsWith('error the store failed'))).toBe(true)
})

/** An outlook that is asked for, and waits in the middle of its reading until it is let go on. */
function outlookInTheMiddle() {
  let goOn = (): void => {}
  let isReading = (): void => {}
  const gate = new Promise<void>((resolve) => (goOn = resolve))
  const reading = new Promise<void>((resolve) => (isReading = resolve))
  const { house, store, time } = home
  const outlooks = openOutlooks({
    house,
    store,
    clock: time.clock,
    timer: time.timer,
    memory: new Map(),
    pause: () => {
      isReading()
      return gate
    },
  })
  Object.assign(http.desk, { outlook: outlooks.outlook })
  const answer = http.as(keeper, 'GET', '/api/places/fridge/outlook')
  return { answer, reading, goOn, stop: () => outlooks.stop() }
}

test('N2: an outlook in the middle of whose reading the store fails says the same', async () => {
  const { answer, reading, goOn } = outlookInTheMiddle()
  await reading
  spoil(home.db)
  goOn()
  const { statusCode, json } = await answer
  expect([statusCode, Problem.parse(json()).code]).toEqual(failed)
})

test('N2: one that is being reckoned when the house is opened anew is to be asked again, and is no fault', async () => {
  const { answer, reading, goOn, stop } = outlookInTheMiddle()
  await reading
  const stopped = stop()
  goOn()
  await stopped
  const { statusCode, json } = await answer
  const { code, detail } = Problem.parse(json())
  expect([statusCode, code]).toEqual([503, 'closing'])
  expect(detail).toMatch(/Ask again/)
  expect(http.log.lines.filter((line) => line.startsWith('error'))).toEqual([])
})
