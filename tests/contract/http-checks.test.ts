import { describe, expect, test } from 'vitest'
import { puttingBack } from '../../daemon/app/checks.ts'
import { Problem } from '../../schemas/api.ts'
import type { Calibration } from '../../schemas/calibration.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { mostRaw, RawReadings } from '../../schemas/sensor-check.ts'
import { eachInAHouse, type Method } from '../support/http-house.ts'

const probe = '/api/sensors/probe-1'
const sensorId = 'probe-1' as SensorId

const house = eachInAHouse('keeper', 'sitter')

const ask = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
const refusalOf = ({ statusCode, body }: { statusCode: number; body: string }) => {
  const { code, detail } = Problem.parse(JSON.parse(body))
  return [statusCode, code, detail] as const
}
const check = async (lasts: number) =>
  Sensor.parse((await ask('POST', `${probe}/check`, { minutes: lasts })).json())
const inHouse = () => house.desk.household().sensors.find(({ id }) => id === sensorId)
const lastLine = () => house.desk.journalled.at(-1)
const now = () => house.clock.now()
const hear = (value: number, ago = 0, quantity: 'temperature' | 'humidity' = 'temperature') =>
  house.desk.hear({
    sensor: sensorId,
    sensorName: 'Probe one',
    quantity,
    value,
    at: later(now(), -ago),
    quality: 'good',
    fresh: true,
    lastKnown: false,
  })
const icePoint = (raw: number, more: object = {}) => ({
  method: 'icePoint',
  quantity: 'temperature',
  references: [{ raw, true: 0, uncertainty: 0.07 }],
  ...more,
})
const correct = (body: object, by = house.keeper) => house.as(by, 'POST', `${probe}/calibrations`, body)

describe('a check begins and ends', () => {
  test('A1: by the keeper, with a line in the journal by name; again moves its end, and zero ends it', async () => {
    const since = now()
    expect((await check(60)).check).toEqual({ since, until: later(since, hours(1)), by: 'Ada' })
    expect(lastLine()).toMatchObject({
      kind: 'changed',
      by: 'Ada',
      sensor: 'probe-1',
      place: 'fridge',
      until: later(since, hours(1)),
      text: 'Probe one is being checked, for 1 h at most: until then it does not speak for its place.',
    })
    house.clock.move(minutes(30))
    expect((await check(120)).check).toEqual({ since, until: later(now(), hours(2)), by: 'Ada' })
    house.clock.move(minutes(5))
    expect((await check(0)).check).toEqual({ since, until: now(), by: 'Ada' })
    expect(lastLine()?.text).toBe('Ended the check of Probe one: what it reads counts again.')
    const lines = house.desk.journalled.length
    await check(0)
    expect(house.desk.journalled.length).toBe(lines)
  })

  test('one that is ended in the instant in which it began never was', async () => {
    await check(60)
    expect((await check(0)).check).toBeUndefined()
  })

  test.each([
    [-1, 400],
    [0, 200],
    [1, 200],
    [240, 200],
    [241, 400],
    [1.5, 400],
  ])('X3: %d min is answered with %i', async (lasts, status) => {
    expect((await ask('POST', `${probe}/check`, { minutes: lasts })).statusCode).toBe(status)
  })

  test('X3: in all it lasts four hours, however often it is made longer', async () => {
    await check(240)
    house.clock.move(minutes(1))
    expect(refusalOf(await ask('POST', `${probe}/check`, { minutes: 240 }))).toEqual([
      422,
      'tooLong',
      'A check lasts 4 h at most in all: end this one, and begin again.',
    ])
    expect((await ask('POST', `${probe}/check`, { minutes: 239 })).statusCode).toBe(200)
  })

  test('what is no thermometer is not checked, so that no door is made deaf; nor what is not there', async () => {
    const contact = { ...inHouse(), id: 'door', type: 'contact', decoder: { kind: 'auto' } }
    await ask('PUT', '/api/sensors/door', contact)
    expect(refusalOf(await ask('POST', '/api/sensors/door/check', { minutes: 5 })).slice(0, 2)).toEqual([
      422,
      'notCheckable',
    ])
    for (const [method, url, body] of [
      ['POST', '/api/sensors/none/check', { minutes: 5 }],
      ['GET', '/api/sensors/none/raw?since=0', undefined],
      ['POST', '/api/sensors/none/calibrations', icePoint(0.3)],
      ['DELETE', '/api/sensors/none/calibrations/temperature/5', undefined],
    ] as const)
      expect(refusalOf(await ask(method, url, body)).slice(0, 2), url).toEqual([404, 'noSuchSensor'])
  })
})

describe('X1: a sitter may look and not act', () => {
  test('reads what it says, and is refused each change', async () => {
    hear(0.3)
    const raw = await house.as(house.sitter, 'GET', `${probe}/raw?since=0`)
    expect(RawReadings.parse(raw.json()).readings).toHaveLength(1)
    for (const [method, path, body] of [
      ['POST', 'check', { minutes: 5 }],
      ['POST', 'calibrations', icePoint(0.3)],
      ['DELETE', 'calibrations/temperature/5', undefined],
    ] as const)
      expect((await house.as(house.sitter, method, `${probe}/${path}`, body)).statusCode, path).toBe(403)
    expect(inHouse()).not.toHaveProperty('check')
    expect(inHouse()?.calibrations).toEqual([])
  })
})

describe('raw readings', () => {
  const raw = async (query: string) => RawReadings.parse((await ask('GET', `${probe}/raw?${query}`)).json())

  test('are those of the quantity, not before the instant asked for, uncorrected', async () => {
    await correct(icePoint(0.5))
    hear(0.3, minutes(2))
    hear(0.4, minutes(1))
    hear(80, 0, 'humidity')
    const since = later(now(), -minutes(1))
    expect(await raw(`since=${since}`)).toEqual({
      sensor: 'probe-1',
      quantity: 'temperature',
      at: now(),
      readings: [{ at: since, raw: 0.4 }],
    })
    expect((await raw(`since=${since}&quantity=humidity`)).readings).toEqual([{ at: now(), raw: 80 }])
  })

  test('X3: at most the newest 500, and none older than four hours', async () => {
    hear(7, hours(4) + 1)
    hear(6, hours(4))
    expect((await raw('since=0')).readings.map((one) => one.raw)).toEqual([6])
    for (let i = mostRaw; i > 0; i--) hear(i, seconds(i))
    const { readings } = await raw('since=0')
    expect([readings.length, readings[0]?.raw, readings.at(-1)?.raw]).toEqual([mostRaw, mostRaw, 1])
  })
})

describe('a correction', () => {
  test('from melting ice counts from when it was found, by whom, and leaves time to put the sensor back', async () => {
    await check(120)
    house.clock.move(minutes(40))
    const from = later(now(), -minutes(3))
    const saved = Sensor.parse((await correct(icePoint(0.31, { from, note: 'second mug' }))).json())
    expect(saved.calibrations).toEqual([
      {
        from,
        quantity: 'temperature',
        gain: 1,
        offset: -0.31,
        uncertainty: 0.07,
        references: [{ raw: 0.31, true: 0, uncertainty: 0.07 }],
        method: 'icePoint',
        by: 'Ada',
        note: 'second mug',
      },
    ])
    // The probe is in the ice still: believed now it would raise a false alarm
    expect(saved.check?.until).toBe(later(now(), puttingBack))
    expect(lastLine()).toMatchObject({ by: 'Ada', sensor: 'probe-1', quantity: 'temperature' })
    expect(lastLine()?.text).toBe(
      'Probe one: checked in ice, its temperature is corrected by −0.31 K from now on.',
    )
  })

  test('never makes a check longer', async () => {
    const { check: running } = await check(10)
    const saved = Sensor.parse((await correct(icePoint(0.31))).json())
    expect(saved.check).toEqual(running)
  })

  test('two people at once: both are kept', async () => {
    const answers = await Promise.all([
      correct(icePoint(0.31, { from: later(now(), -minutes(2)) })),
      correct({ method: 'entered', quantity: 'humidity', offset: 2, uncertainty: 1 }),
      correct(icePoint(0.35)),
    ])
    expect(answers.map((answer) => answer.statusCode)).toEqual([200, 200, 200])
    expect(inHouse()?.calibrations.map(({ offset }) => offset)).toEqual([-0.31, 2, -0.35])
    expect(refusalOf(await correct(icePoint(0.4))).slice(0, 2)).toEqual([409, 'sameInstant'])
  })

  test('at two points is worked out here, in either order; what cannot be is refused in plain words', async () => {
    const at = (raw: number, truth: number) => ({ raw, true: truth, uncertainty: 0.1 })
    const twoPoint = (...references: object[]) => ({
      method: 'twoPoint',
      quantity: 'temperature',
      references,
    })
    await correct(twoPoint(at(30.5, 30), at(0.3, 0)))
    const [made] = inHouse()?.calibrations as [Calibration]
    expect(made.gain).toBeCloseTo(30 / 30.2, 9)
    expect(made.offset).toBeCloseTo((-0.3 * 30) / 30.2, 9)
    expect(refusalOf(await correct(twoPoint(at(0.3, 0), at(5.2, 5))))).toEqual([
      422,
      'badCorrection',
      'The two points must be at least 5 K apart.',
    ])
    expect((await correct(twoPoint(at(0.3, 0)))).statusCode).toBe(400)
  })

  test.each([
    ['5 K exactly', 5, 200],
    ['more than 5 K', 5.01, 422],
  ])('from a certificate: %s', async (_, offset, status) => {
    const entered = { method: 'entered', quantity: 'temperature', uncertainty: 0.05 }
    expect((await correct({ ...entered, offset })).statusCode).toBe(status)
  })

  test('X3: has either points or figures, and never both', async () => {
    const entered = { method: 'entered', quantity: 'temperature' }
    const references = [{ raw: 5.2, true: 5, uncertainty: 0.1 }]
    for (const wrong of [
      entered,
      { ...entered, offset: 1 },
      { ...entered, references, offset: 1, uncertainty: 1 },
    ])
      expect((await correct(wrong)).statusCode).toBe(400)
    expect((await correct({ ...entered, references })).statusCode).toBe(200)
  })

  test.each([
    ['four hours ago', -hours(4), 200],
    ['longer ago', -hours(4) - 1, 422],
    ['a minute ahead', minutes(1), 200],
    ['farther ahead', minutes(1) + 1, 422],
  ])('the past keeps what was known then: from %s', async (_, off, status) => {
    expect((await correct(icePoint(0.3, { from: now() + off }))).statusCode).toBe(status)
  })

  test('X3: fifty are kept of one sensor', async () => {
    for (let i = 0; i < 50; i++) {
      house.clock.move(1)
      expect((await correct(icePoint(0.3))).statusCode).toBe(200)
    }
    house.clock.move(1)
    expect(refusalOf(await correct(icePoint(0.3))).slice(0, 2)).toEqual([409, 'tooManyCalibrations'])
  })

  test('the newest is taken back, an older one is not, and what was taken back can be put again', async () => {
    await correct(icePoint(0.3))
    const first = now()
    house.clock.move(minutes(1))
    await correct(icePoint(0.9))
    const both = inHouse()
    const takeBack = (from: number) => ask('DELETE', `${probe}/calibrations/temperature/${from}`)
    expect(refusalOf(await takeBack(first)).slice(0, 2)).toEqual([409, 'notNewest'])
    expect((await takeBack(now())).statusCode).toBe(200)
    expect(inHouse()?.calibrations.map(({ offset }) => offset)).toEqual([-0.3])
    expect(lastLine()).toMatchObject({ by: 'Ada', quantity: 'temperature' })
    expect(refusalOf(await takeBack(now())).slice(0, 2)).toEqual([404, 'noSuchCalibration'])
    await ask('PUT', probe, both)
    expect(inHouse()?.calibrations).toEqual(both?.calibrations)
  })
})
