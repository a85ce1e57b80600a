import { expect, test } from 'vitest'
import { notStored } from '../../daemon/app/not-stored.ts'
import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { FoundCorrection } from '../../schemas/sensor-check.ts'
import type { Instant } from '../../schemas/units.ts'
import { editedHouse } from '../support/edited-house.ts'
import { household, start } from '../support/fault-house.ts'

const by = 'Ada'
const one = 'one' as SensorId
const iced = FoundCorrection.parse({
  method: 'icePoint',
  quantity: 'temperature',
  references: [{ raw: 0.5, true: 0, uncertainty: 0.07 }],
})
const world = editedHouse()

const sensor = () => world.daemon.desk.household().sensors.find(({ id }) => id === one)
const curve = () => {
  const series = world.daemon.desk.series(
    one,
    'temperature',
    start as Instant,
    later(world.time.clock.now(), 1),
    1000,
  )
  if (!series.ok) throw new Error(series.sentence)
  return series.value
}

test('X1: a form that was opened before takes away neither the correction nor the check, nor begins one', async () => {
  const form = Sensor.parse({ ...sensor(), name: 'Renamed' })
  world.daemon.desk.checkSensor(one, minutes(60), by)
  const during = sensor()
  world.daemon.desk.addCalibration(one, iced, by)
  world.daemon.desk.saveSensor(form, by)
  expect(sensor()).toMatchObject({ name: 'Renamed', calibrations: [{ offset: -0.5 }], check: { by } })
  await world.hears(5)
  world.daemon.desk.checkSensor(one, minutes(0), by)
  const ended = sensor()?.check
  expect(ended?.until).toBe(world.time.clock.now())
  world.daemon.desk.saveSensor(Sensor.parse(during), by)
  expect(sensor()?.check).toEqual(ended)
})

test('L7: a check survives a restart, and what is read meanwhile is kept, drawn and not believed', async () => {
  await world.hears(5)
  const until = later(world.time.clock.now(), minutes(10))
  world.daemon.desk.checkSensor(one, minutes(10), by)
  for (let i = 0; i < 3; i++) await world.hears(0.5)
  await world.restarts()
  expect(sensor()?.check?.until).toBe(until)
  for (let i = 0; i < 3; i++) await world.hears(0.5)
  const { columns, bad } = curve()
  expect(columns.mean.filter((value) => value !== null)).toEqual([5])
  expect(bad.map(({ value, quality }) => `${value} ${quality}`)).toEqual(
    Array.from({ length: 6 }, () => '0.5 checking'),
  )
  expect(world.daemon.desk.alarms().standing.filter(({ kind }) => kind === 'limit')).toEqual([])
  const raw = world.daemon.desk.rawReadings(one, 'temperature', start as Instant)
  expect(raw.ok && raw.value.readings.map((reading) => reading.raw)).toEqual([
    5,
    ...Array<number>(6).fill(0.5),
  ])
})

test.each([3, -3])(
  'N3: a check ends when it was said to, though the clock is set by %i h meanwhile and the daemon starts anew',
  async (n) => {
    await world.hears(5)
    world.daemon.desk.checkSensor(one, minutes(10), by)
    const until = sensor()?.check?.until ?? 0
    for (let i = 0; i < 3; i++) await world.hears(0.5)
    world.time.setClock(hours(n))
    world.daemon.ticks()
    await world.time.settle()
    expect(sensor()?.check).toMatchObject({ until: until + hours(n), by })
    for (let i = 0; i < 2; i++) await world.hears(0.5)
    await world.restarts()
    expect(sensor()?.check?.until).toBe(until + hours(n))
    const quality = () =>
      world.daemon.desk.tonight().places.flatMap(({ values }) => values.map((value) => value.quality))
    await world.hears(0.5)
    expect(quality()).toEqual(['checking'])
    for (let i = 0; i < 4; i++) await world.hears(0.5)
    expect(quality()).toEqual(['good'])
  },
)

test('old readings keep the calibration of their time: only what is read after the correction is corrected', async () => {
  await world.hears(5)
  world.daemon.desk.checkSensor(one, minutes(2), by)
  await world.hears(0.5)
  world.daemon.desk.addCalibration(one, iced, by)
  for (let i = 0; i < 3; i++) await world.hears(5)
  expect(curve().columns.mean.filter((value) => value !== null)).toEqual([5, 4.5, 4.5, 4.5])
})

test('N2: while nothing can be stored no check is begun and no correction taken', async () => {
  world.commitsFail({ mode: 'forEver' })
  await world.hears(5)
  await world.time.pass(seconds(6))
  expect(world.daemon.desk.checkSensor(one, minutes(10), by)).toEqual(notStored)
  expect(world.daemon.desk.addCalibration(one, iced, by)).toEqual(notStored)
  expect(sensor()).toEqual(household.sensors[0])
})
