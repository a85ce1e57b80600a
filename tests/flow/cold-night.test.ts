import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { promisify } from 'node:util'
import { afterEach, describe, expect, test } from 'vitest'
import type { NightCurve, Series, Tonight } from '../../schemas/api.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { until } from '../support/until.ts'

const run = promisify(execFile)
const hasPublisher = existsSync('/usr/bin/mosquitto_pub')
let daemon: Daemon | null = null
afterEach(async () => {
  await daemon?.stop()
  daemon = null
})

describe('the first whole path, through the built program', () => {
  test.skipIf(!hasPublisher && process.env['BRUMAL_REQUIRE_PEERS'] !== '1')(
    'the line that Set-up shows works as it stands, and the topic waits to be claimed',
    async () => {
      daemon = await startDaemon({ env: { BRUMAL_MQTT_HOST: '0.0.0.0' } })
      const { tryLine } = await daemon.connection()
      await run('/bin/sh', ['-c', tryLine])
      const sources = await daemon.call<{ topic: string; found: object[] }[]>('GET', '/api/sources')
      expect(sources).toMatchObject([
        { topic: 'brumal/in/test-probe', found: [{ quantity: 'temperature', value: 5.1 }] },
      ])
    },
  )

  test('a published value is on Tonight within a second', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const sent = performance.now()
    const acknowledged = daemon.publish('brumal/in/probe', senml(5.25)) // which may wait for the disk longer
    const boxOf = (tonight: Tonight) => tonight.places.find((place) => place.id === 'box')
    await until(async () => boxOf(await (daemon as Daemon).tonight())?.values.length === 1, 'the value', 1000)
    expect(performance.now() - sent).toBeLessThan(1000)
    const tonight = await daemon.tonight()
    await acknowledged
    const box = boxOf(tonight)
    expect(box).toMatchObject({ standing: 'safe', values: [{ value: 5.25, fresh: true, quality: 'good' }] })
    expect(tonight.sentence).toBe('Yes: Juno is safe tonight.')
  })

  test('−1 °C raises high priority exactly one on-delay later, through a kill -9 in between (L7)', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const wentOut = Date.now() - 52_000
    await daemon.publish('brumal/in/probe', senml(5, wentOut - 10_000))
    await daemon.publish('brumal/in/probe', senml(-1, wentOut))
    expect((await daemon.alarms()).standing).toEqual([])
    await daemon.kill('SIGKILL')
    await daemon.again()
    const before = await daemon.alarms()
    if (Date.now() < wentOut + 59_000) expect(before.standing).toEqual([])
    await until(async () => (await daemon?.alarms())?.standing.length === 1, 'the alarm', 15_000)
    const [alarm] = (await daemon.alarms()).standing
    expect(alarm).toMatchObject({
      priority: 'high',
      limit: 'lowCritical',
      value: -1,
      threshold: 1,
      state: { name: 'unacknowledged', since: wentOut + 60_000 },
    })

    await daemon.kill('SIGKILL')
    await daemon.again()
    expect((await daemon.alarms()).standing).toEqual([alarm])
    const path = `/api/alarms/${alarm?.id}/acknowledge`
    expect(await daemon.call('POST', path, { occurrence: 1 })).toMatchObject({
      state: { name: 'acknowledged', by: 'Ada' },
    })
    expect(await daemon.call('POST', path, { occurrence: 1 })).toMatchObject({
      state: { name: 'acknowledged' },
    })
    const told = (await daemon.alarms()).journal
      .filter((line) => line.alarm !== undefined)
      .map((line) => line.kind)
    expect(told).toEqual(['acknowledged', 'raised'])
  })

  test('two people who answer at once both succeed, and the journal names one', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const long = Date.now() - 300_000
    await daemon.publish('brumal/in/probe', senml(-1, long))
    await until(async () => (await daemon?.alarms())?.standing.length === 1, 'the alarm')
    const path = '/api/alarms/limit:box:temperature:lowCritical/acknowledge'
    const answers = await Promise.all(
      [1, 2, 3].map(() => (daemon as Daemon).ask('POST', path, { occurrence: 1 })),
    )
    expect(answers.map((answer) => answer.status)).toEqual([200, 200, 200])
    expect((await daemon.alarms()).journal.filter((line) => line.kind === 'acknowledged')).toHaveLength(1)
    const later = await daemon.ask('POST', path, { occurrence: 2 })
    expect([later.status, ((await later.json()) as { code: string }).code]).toEqual([
      409,
      'earlierOccurrence',
    ])
  })

  test('a reading that comes twice is stored once; a late one is drawn; one from ahead is set aside (L5)', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const t = Date.now() - 600_000
    for (const [value, at] of [
      [5, t],
      [5, t],
      [5.5, t + 120_000],
      [5.25, t + 60_000],
      [1, Date.now() + 7_200_000],
    ] as const)
      await daemon.publish('brumal/in/probe', senml(value, at))
    const { columns } = await daemon.call<Series>(
      'GET',
      `/api/sensors/probe/series?quantity=temperature&from=${t - 1000}&to=${t + 9_000_000}`,
    )
    expect(columns.mean).toEqual([5, 5.25, 5.5])
    const box = (await daemon.tonight()).places.find((place) => place.id === 'box')
    expect(box?.values[0]?.value).toBe(5.5)
    expect(box?.remarks.join()).toContain('clock')
  })

  test('a bad reading is stored, drawn as bad, and moves no alarm', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const t = Date.now() - 300_000
    for (const [value, at] of [
      [5, t],
      [85, t + 60_000],
      [-127, t + 120_000],
      [5.0625, t + 180_000],
    ] as const)
      await daemon.publish('brumal/in/probe', senml(value, at))
    const curve = await daemon.call<NightCurve>('GET', '/api/places/box/night?quantity=temperature')
    const { from, to } = curve.night
    const all = await daemon.call<Series>(
      'GET',
      `/api/sensors/probe/series?quantity=temperature&from=${t - 1}&to=${t + 999_999}`,
    )
    expect(to).toBeGreaterThan(from)
    expect(all.columns.mean.filter((value) => value !== null)).toEqual([5, 5.0625])
    expect(all.bad.map(({ value, quality }) => [value, quality])).toEqual([
      [85, 'powerOn'],
      [-127, 'busOpen'],
    ])
    expect((await daemon.alarms()).standing).toEqual([])
  })

  test('a calibration is in force at once, shown on Tonight, and kept when the sensor is saved without it', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const sensor = {
      id: 'probe',
      name: 'Box probe',
      place: 'box',
      type: 'ds18b20',
      topic: 'brumal/in/probe',
      expectedEvery: 60_000,
    }
    const calibration = {
      from: Date.now() - 1000,
      quantity: 'temperature',
      offset: -0.31,
      uncertainty: 0.06,
      references: [{ raw: 0.31, true: 0, uncertainty: 0.06 }],
      method: 'icePoint',
      by: 'Ada',
    }
    await daemon.call('PUT', '/api/sensors/probe', { ...sensor, calibrations: [calibration] })
    await daemon.publish('brumal/in/probe', senml(5.25))
    const box = (await daemon.tonight()).places.find((one) => one.id === 'box')
    expect(box?.values[0]?.value).toBeCloseTo(4.94, 9)
    const saved = await daemon.call<{ calibrations: object[] }>('PUT', '/api/sensors/probe', {
      ...sensor,
      name: 'Probe',
    })
    expect(saved.calibrations).toMatchObject([{ offset: -0.31, gain: 1 }])
  })

  test('what cannot be read is refused by name, counted, shown with its sample, and stops nothing', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    for (const payload of ['{broken', '[{"n":"temperature","u":"Cel"}]', '[{"n":"temperature","u":"Cel"}]'])
      await daemon.publish('brumal/in/probe', payload)
    await daemon.publish('brumal/in/probe', senml(4.5))
    const [source] = await daemon.call<{ refused: object; heard: number; sample: string }[]>(
      'GET',
      '/api/sources',
    )
    expect(source).toMatchObject({ heard: 4, refused: { notJson: 1, noValue: 2 } })
    expect((await daemon.tonight()).places.find((place) => place.id === 'box')?.values[0]?.value).toBe(4.5)
  })

  test('two animals that no temperature suits cannot share a box: both are named, with figures (L8)', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    const answer = await daemon.ask('PUT', '/api/animals/nox', {
      id: 'nox',
      name: 'Nox',
      species: 'python-regius',
      place: 'box',
      mode: 'staysAwake',
    })
    expect(answer.status).toBe(422)
    const problem = (await answer.json()) as { code: string; detail: string }
    expect(problem.code).toBe('bandsConflict')
    expect(problem.detail).toMatch(/Nox.*Juno|Juno.*Nox/)
    expect(problem.detail).toMatch(/20|17/)
  })

  test('ends within five seconds of SIGTERM with 0, and says so in its journal', async () => {
    daemon = await startDaemon()
    await tortoiseHouse(daemon)
    await daemon.publish('brumal/in/probe', senml(5))
    const began = performance.now()
    expect(await daemon.kill('SIGTERM')).toBe(0)
    expect(performance.now() - began).toBeLessThan(5000)
    await daemon.again()
    const kinds = (await daemon.alarms()).journal.map((line) => line.kind)
    expect(kinds.slice(0, 3)).toEqual(['brokerUp', 'started', 'stopped'])
  })
})
