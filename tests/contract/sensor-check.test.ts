import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { notStored } from '../../daemon/app/not-stored.ts'
import type { Arrival, Broker, Senders } from '../../daemon/ports.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { FoundCorrection } from '../../schemas/sensor-check.ts'
import type { Instant } from '../../schemas/units.ts'
import { type FaultDaemon, openFaultDaemon } from '../support/fault-daemon.ts'
import { aFreshHouse, household, start } from '../support/fault-house.ts'
import { failing, type Trap, trapFor } from '../support/faulty.ts'
import { type SimulatedTime, simulatedTime } from '../support/simulated-time.ts'
import { temporaryFolder } from '../support/store-world.ts'

const by = 'Ada'
const one = 'one' as SensorId
const iced = FoundCorrection.parse({
  method: 'icePoint',
  quantity: 'temperature',
  references: [{ raw: 0.5, true: 0, uncertainty: 0.07 }],
})
const takes = () => Promise.resolve({ outcome: 'delivered', sentence: 'It was taken.' } as const)
const senders: Senders = { push: null, relay: { send: takes }, mail: { send: takes }, webhook: null }
const noBroker: Broker = {
  start() {},
  state: () => ({ kind: 'embedded', name: 'down', since: start as Instant, sentence: '', retryAt: null }),
  onState() {},
  onForgotten() {},
  publish: () => Promise.resolve(),
  stop: () => Promise.resolve(),
}

let fresh: ReturnType<typeof aFreshHouse>
let folder: ReturnType<typeof temporaryFolder>
let time: SimulatedTime
let daemon: FaultDaemon
let trap: Trap | null

beforeAll(() => {
  fresh = aFreshHouse()
})
afterAll(() => fresh.remove())
beforeEach(async () => {
  folder = temporaryFolder()
  copyFileSync(join(fresh.path, databaseName), join(folder.path, databaseName))
  time = simulatedTime(start as Instant)
  trap = null
  open()
  await time.settle()
})
afterEach(async () => {
  trap?.mend()
  await daemon.stop(() => time.pass(seconds(3)))
  folder.remove()
})

/** Over whatever the folder holds. */
function open(): void {
  daemon = openFaultDaemon({
    folder: folder.path,
    household,
    clock: time.clock,
    timer: time.timer,
    senders,
    broker: noBroker,
    dies: (cause) => {
      throw cause
    },
    wraps: {
      wrap: (port, part) =>
        port === 'store'
          ? new Proxy(part, {
              get: (target, name) =>
                Reflect.get(trap === null ? target : failing(target, trap), name) as unknown,
            })
          : part,
    },
  })
}

/** A minute passes, and the probe speaks. */
async function hears(celsius: number): Promise<void> {
  await time.pass(minutes(1))
  daemon.hears(
    {
      topic: 'brumal/in/one',
      payload: new Uint8Array(),
      retained: false,
      qos: 1,
      claimedBy: [one],
      heard: [{ sensor: one, quantity: 'temperature', value: celsius, at: time.clock.now() }],
      found: [],
      refusal: null,
    } satisfies Arrival,
    () => {},
  )
  daemon.ticks()
  await time.settle()
}

const sensor = () => daemon.desk.household().sensors.find(({ id }) => id === one)
const curve = () => {
  const series = daemon.desk.series(one, 'temperature', start as Instant, later(time.clock.now(), 1), 1000)
  if (!series.ok) throw new Error(series.sentence)
  return series.value
}

test('X1: a form that was opened before takes away neither the correction nor the check, nor begins one', async () => {
  const form = Sensor.parse({ ...sensor(), name: 'Renamed' })
  daemon.desk.checkSensor(one, minutes(60), by)
  const during = sensor()
  daemon.desk.addCalibration(one, iced, by)
  daemon.desk.saveSensor(form, by)
  expect(sensor()).toMatchObject({ name: 'Renamed', calibrations: [{ offset: -0.5 }], check: { by } })
  await hears(5)
  daemon.desk.checkSensor(one, minutes(0), by)
  const ended = sensor()?.check
  expect(ended?.until).toBe(time.clock.now())
  daemon.desk.saveSensor(Sensor.parse(during), by)
  expect(sensor()?.check).toEqual(ended)
})

test('L7: a check survives a restart, and what is read meanwhile is kept, drawn and not believed', async () => {
  await hears(5)
  const until = later(time.clock.now(), minutes(10))
  daemon.desk.checkSensor(one, minutes(10), by)
  for (let i = 0; i < 3; i++) await hears(0.5)
  await daemon.stop(() => time.pass(seconds(3)))
  open()
  await time.settle()
  expect(sensor()?.check?.until).toBe(until)
  for (let i = 0; i < 3; i++) await hears(0.5)
  const { columns, bad } = curve()
  expect(columns.mean.filter((value) => value !== null)).toEqual([5])
  expect(bad.map(({ value, quality }) => `${value} ${quality}`)).toEqual(
    Array.from({ length: 6 }, () => '0.5 checking'),
  )
  expect(daemon.desk.alarms().standing.filter(({ kind }) => kind === 'limit')).toEqual([])
  const raw = daemon.desk.rawReadings(one, 'temperature', start as Instant)
  expect(raw.ok && raw.value.readings.map((reading) => reading.raw)).toEqual([
    5,
    ...Array<number>(6).fill(0.5),
  ])
})

test.each([3, -3])(
  'N3: a check ends when it was said to, though the clock is set by %i h meanwhile and the daemon starts anew',
  async (n) => {
    await hears(5)
    daemon.desk.checkSensor(one, minutes(10), by)
    const until = sensor()?.check?.until ?? 0
    for (let i = 0; i < 3; i++) await hears(0.5)
    time.setClock(hours(n))
    daemon.ticks()
    await time.settle()
    expect(sensor()?.check).toMatchObject({ until: until + hours(n), by })
    for (let i = 0; i < 2; i++) await hears(0.5)
    await daemon.stop(() => time.pass(seconds(3)))
    open()
    await time.settle()
    expect(sensor()?.check?.until).toBe(until + hours(n))
    const quality = () =>
      daemon.desk.tonight().places.flatMap(({ values }) => values.map((value) => value.quality))
    await hears(0.5)
    expect(quality()).toEqual(['checking'])
    for (let i = 0; i < 4; i++) await hears(0.5)
    expect(quality()).toEqual(['good'])
  },
)

test('old readings keep the calibration of their time: only what is read after the correction is corrected', async () => {
  await hears(5)
  daemon.desk.checkSensor(one, minutes(2), by)
  await hears(0.5)
  daemon.desk.addCalibration(one, iced, by)
  for (let i = 0; i < 3; i++) await hears(5)
  expect(curve().columns.mean.filter((value) => value !== null)).toEqual([5, 4.5, 4.5, 4.5])
})

test('N2: while nothing can be stored no check is begun and no correction taken', async () => {
  trap = trapFor({ method: 'commit', nth: 1, how: 'before', mode: 'forEver' })
  await hears(5)
  await time.pass(seconds(6))
  expect(daemon.desk.checkSensor(one, minutes(10), by)).toEqual(notStored)
  expect(daemon.desk.addCalibration(one, iced, by)).toEqual(notStored)
  expect(sensor()).toEqual(household.sensors[0])
})
