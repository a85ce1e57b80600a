import { readFileSync } from 'node:fs'
import mqtt from 'mqtt'
import { expect, test } from 'vitest'
import type { Series, Winter } from '../../schemas/api.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'

/*
 * Hourly temperature normals 1981–2010 for Seattle, NOAA National Climatic Data Center, a work of the US Government, as
 * packaged in npm vega-datasets 3.2.1 (seattle-weather-hourly-normals.csv): 8759 hours, the first one missing.
 */
const hours = readFileSync(
  new URL('../../fixtures/days/seattle-weather-hourly-normals.csv', import.meta.url),
  'utf8',
)
  .trim()
  .split('\n')
  .slice(1)
  .map((row) => {
    const [date, , temperature] = row.split(',')
    // The file's times are local and without an offset; read as UTC, moved to a year that has passed.
    return { at: Date.parse(`${date?.replace('2010', '2025')}Z`), celsius: Number(temperature) }
  })

test('a year of real hourly temperatures pushed through MQTT is read back unchanged, and its nights summarise it', async () => {
  const daemon: Daemon = await startDaemon()
  try {
    await daemon.call('PUT', '/api/places/frame', {
      id: 'frame',
      name: 'Cold frame',
      kind: 'frame',
      timeZone: 'UTC',
    })
    await daemon.call('PUT', '/api/sensors/north', {
      id: 'north',
      name: 'North wall',
      place: 'frame',
      topic: 'brumal/in/north',
      expectedEvery: 3_600_000,
      type: 'other',
    })
    const { port, user, password } = await daemon.connection()
    const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, {
      username: user ?? '',
      password: password ?? '',
    })
    // SenML with a base time and relative times, a week to a message.
    for (let i = 0; i < hours.length; i += 168) {
      const week = hours.slice(i, i + 168)
      const bt = (week[0]?.at ?? 0) / 1000
      const pack = week.map(({ at, celsius }, k) => ({
        ...(k === 0 ? { bn: 'north/', bt, bu: 'Cel' } : {}),
        n: 'temperature',
        t: at / 1000 - bt,
        v: celsius,
      }))
      await client.publishAsync('brumal/in/north', JSON.stringify(pack), { qos: 1 })
    }
    await client.endAsync()
    const [first, last] = [hours[0]?.at ?? 0, hours.at(-1)?.at ?? 0]

    const back: { at: number; celsius: number | null }[] = []
    for (let from = first; from <= last; from += 100 * 86_400_000) {
      const to = Math.min(from + 100 * 86_400_000, last + 1)
      const { resolution, columns } = await daemon.call<Series>(
        'GET',
        `/api/sensors/north/series?quantity=temperature&from=${from}&to=${to}&columns=5000`,
      )
      expect(resolution).toBe('readings')
      back.push(...columns.at.map((at, i) => ({ at, celsius: columns.mean[i] ?? null })))
    }
    expect(back).toEqual(hours)

    const winter = await daemon.call<Winter>(
      'GET',
      '/api/places/frame/winter?quantity=temperature&season=2025%2F26',
    )
    const night = winter.nights.find((one) => one.date === '2025-12-24')
    const during = hours
      .filter(({ at }) => night !== undefined && at >= night.from && at < night.to)
      .map(({ celsius }) => celsius)
    expect(during).toHaveLength(12)
    expect(night).toMatchObject({ readings: 12, min: Math.min(...during), max: Math.max(...during) })
    expect(night?.mean).toBeCloseTo(during.reduce((sum, value) => sum + value, 0) / 12, 9)
  } finally {
    await daemon.stop()
  }
})
