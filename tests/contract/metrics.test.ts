import { describe, expect, test } from 'vitest'
import { later } from '../../schemas/amounts.ts'
import type { AlarmId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { allInAHouse } from '../support/http-house.ts'
import { type ReadFamily, readOpenMetrics } from '../support/open-metrics.ts'

const house = allInAHouse('keeper')

const openType = 'application/openmetrics-text; version=1.0.0; charset=utf-8'
const textType = 'text/plain; version=0.0.4; charset=utf-8'

const asked = (accept?: string) =>
  house.app.inject({
    method: 'GET',
    url: '/metrics',
    headers: { cookie: house.keeper, ...(accept === undefined ? {} : { accept }) },
  })
const scraped = async () => readOpenMetrics((await asked('application/openmetrics-text')).body)
const family = (families: readonly ReadFamily[], name: string): ReadFamily => {
  const found = families.find((one) => one.name === name)
  if (found === undefined) throw new Error(`no family ${name}`)
  return found
}
const valueOf = (families: readonly ReadFamily[], name: string, labels: object = {}) =>
  family(families, name).samples.find((one) =>
    Object.entries(labels).every(([label, value]) => one.labels[label] === value),
  )?.value

function hear(value: number, more: { quantity?: 'temperature' | 'humidity'; fresh?: boolean } = {}): void {
  const [sensor] = house.desk.household().sensors as [Sensor]
  house.desk.hear({
    sensor: sensor.id,
    sensorName: sensor.name,
    quantity: more.quantity ?? 'temperature',
    value,
    at: later(house.clock.now(), -90_000),
    quality: 'good',
    fresh: more.fresh ?? true,
    lastKnown: false,
  })
}

describe('who may scrape', () => {
  test('X1: nobody without a sign-in, whoever is signed in, and a token that may look', async () => {
    expect((await house.as('', 'GET', '/metrics')).statusCode).toBe(401)
    expect((await house.bearing('brumal_wrong', 'GET', '/metrics')).statusCode).toBe(401)
    expect((await house.as(await house.signedIn('sitter'), 'GET', '/metrics')).statusCode).toBe(200)
    const answer = await house.bearing(await house.token('look'), 'GET', '/metrics')
    expect([answer.statusCode, answer.headers['content-type']]).toEqual([200, openType])
    expect((await house.as(house.keeper, 'POST', '/metrics', {})).statusCode).toBe(405)
  })

  test('X4: no secret is among what is measured, nor a folder, nor the name of a person', async () => {
    hear(5)
    const { body } = await asked()
    for (const secret of ['password', 'bindKey', '231d39c1', '/var/lib', 'Ada', 'Bo'])
      expect([secret, body.includes(secret)]).toEqual([secret, false])
  })
})

describe('the two formats', () => {
  test('whoever accepts both, or anything, gets OpenMetrics; the older format is for who asks for no other', async () => {
    const wanted = [
      [undefined, openType],
      ['*/*', openType],
      ['application/openmetrics-text;version=1.0.0,text/plain;version=0.0.4;q=0.5,*/*;q=0.1', openType],
      ['application/openmetrics-text; version=0.0.1; q=0.4, text/plain;q=0.5', textType],
      ['text/plain', textType],
      ['text/plain;version=0.0.4;q=1,*/*;q=0.1', textType],
      ['text/*', textType],
      ['application/openmetrics-text;q=x, text/plain;q=', openType],
    ] as const
    for (const [accept, type] of wanted) {
      const { headers } = await asked(accept)
      expect([accept, headers['content-type']]).toEqual([accept, type])
    }
  })

  test('the older format names counters by their samples, and has neither units nor an end', async () => {
    hear(5)
    const { body } = await asked('text/plain')
    expect(body).toMatch(/^# TYPE brumal_readings_stored_total counter\nbrumal_readings_stored_total \d+$/m)
    expect(body).toContain('# TYPE brumal_build_info gauge\n')
    expect(body).not.toMatch(/# UNIT|# EOF|stateset|# TYPE \S+ info/)
    expect(body.endsWith('\n')).toBe(true)
  })

  test('what is measured reads as strict OpenMetrics, each family once and each unit at the end of its name', async () => {
    hear(5.25)
    hear(81, { quantity: 'humidity' })
    house.desk.raise('limit:fridge:temperature:lowCritical' as AlarmId)
    const families = await scraped()
    expect(families.length).toBeGreaterThan(25)
    for (const { name, unit, help } of families) {
      expect(name).toMatch(/^brumal_[a-z_]+$/)
      expect(help).toMatch(/^[A-Z0-9].*\.$/)
      const ending = /_(celsius|ratio|seconds|bytes|volts)$/.exec(name)?.[1] ?? null
      expect([name, unit]).toEqual([name, ending])
    }
  })
})

describe('what is measured', () => {
  test('a reading stands in its base unit, with its instant and its age', async () => {
    hear(5.25)
    hear(45.3, { quantity: 'humidity', fresh: false })
    const families = await scraped()
    const [sensor] = house.desk.household().sensors as [Sensor]
    const labels = { sensor: sensor.id, place: sensor.place ?? '' }
    expect(family(families, 'brumal_temperature_celsius').samples).toEqual([
      { name: 'brumal_temperature_celsius', labels, value: 5.25 },
    ])
    expect(valueOf(families, 'brumal_humidity_ratio', labels)).toBe(0.453)
    expect(valueOf(families, 'brumal_reading_age_seconds', { quantity: 'temperature' })).toBe(90)
    expect(valueOf(families, 'brumal_reading_timestamp_seconds')).toBe((house.clock.now() - 90_000) / 1000)
    expect(valueOf(families, 'brumal_reading_fresh', { quantity: 'temperature' })).toBe(1)
    expect(valueOf(families, 'brumal_reading_fresh', { quantity: 'humidity' })).toBe(0)
  })

  test('a standing alarm is counted in its priority and state, and every other pair says 0', async () => {
    house.desk.raise('limit:fridge:temperature:lowCritical' as AlarmId)
    const families = await scraped()
    const { samples } = family(families, 'brumal_alarms')
    expect(samples).toHaveLength(18)
    expect(samples.filter(({ value }) => value > 0)).toMatchObject([
      { labels: { priority: 'high', state: 'unacknowledged' }, value: 1 },
    ])
  })

  test('counters never go back from one scrape to the next', async () => {
    hear(5)
    const first = await scraped()
    hear(81, { quantity: 'humidity' })
    const second = await scraped()
    const counters = first.filter(({ type }) => type === 'counter')
    expect(counters.length).toBeGreaterThan(5)
    for (const { name, samples } of counters)
      for (const { labels, value } of samples)
        expect([name, valueOf(second, name, labels)]).toEqual([name, expect.toSatisfy((now) => now >= value)])
    expect(valueOf(second, 'brumal_readings_stored')).toBe(
      (valueOf(first, 'brumal_readings_stored') ?? 0) + 1,
    )
  })

  test('N1: a store that takes nothing, its room and its newest backup are there', async () => {
    house.desk.keepAs({ isOnDisk: false })
    await house.as(house.keeper, 'POST', '/api/backups', {})
    house.clock.move(7000)
    const families = await scraped()
    expect(valueOf(families, 'brumal_store_working')).toBe(0)
    expect(valueOf(families, 'brumal_readings_waiting')).toBe(12)
    expect(valueOf(families, 'brumal_disk_free_bytes')).toBe(12e9)
    expect(valueOf(families, 'brumal_backup_age_seconds')).toBe(7)
  })
})
