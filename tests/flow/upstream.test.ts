import mqtt, { type MqttClient } from 'mqtt'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { resolveSenml } from '../../daemon/mqtt/decode/senml.ts'
import type { AlarmsNow, Series } from '../../schemas/api.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { type Mosquitto, mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { readOpenMetrics } from '../support/open-metrics.ts'
import { until } from '../support/until.ts'

/** A household that passes on to a Mosquitto elsewhere, and somebody who reads there. */
describe.skipIf(mosquittoMissing !== null)('with a Mosquitto elsewhere', () => {
  let far: Mosquitto
  let daemon: Daemon
  let reader: MqttClient
  /** Values by name and instant; what came under one name and instant with another value is a fault. */
  const arrived = new Map<string, unknown>()
  const differing: string[] = []

  beforeAll(async () => {
    // The reader's subscription outlives a kill too: else what comes before it is back would be nobody's
    far = await startMosquitto({ config: ['autosave_on_changes true', 'autosave_interval 1'] })
    reader = await mqtt.connectAsync(far.url, { clientId: 'reader', clean: false, reconnectPeriod: 50 })
    reader.on('message', (topic, payload) => {
      if (!/^brumal\/site\/north\/(?:readings\/probe|alarms)$/.test(topic)) differing.push(topic)
      const step = resolveSenml(JSON.parse(payload.toString()), null)
      if (!step.ok) return void differing.push(step.refusal)
      for (const { name, at, number, text, state } of step.value) {
        const [key, value] = [`${name} ${at}`, number ?? text ?? state]
        if (arrived.has(key) && arrived.get(key) !== value) differing.push(key)
        arrived.set(key, value)
      }
    })
    await reader.subscribeAsync('brumal/site/#', { qos: 1 })
    daemon = await startDaemon({
      env: {
        BRUMAL_UPSTREAM_URL: far.url,
        BRUMAL_UPSTREAM_SITE: 'north',
        BRUMAL_STORE_COMMIT_EVERY: '200 ms',
      },
    })
    const calibration = {
      from: 0,
      quantity: 'temperature',
      gain: 1.0037,
      offset: -0.1234567,
      uncertainty: 0.2,
      method: 'entered',
      by: 'Ada',
    }
    await tortoiseHouse(daemon, { calibrations: [calibration] })
  }, 60_000)
  afterAll(async () => {
    await daemon.stop()
    await reader.endAsync(true)
    await far.stop()
  })

  const t = Date.now() - 40 * 60_000
  const publish = (celsius: number, minute: number) =>
    daemon.publish('brumal/in/probe', senml(celsius, t + minute * 60_000))
  const shown = async () => {
    const { columns } = await daemon.call<Series>(
      'GET',
      `/api/sensors/probe/series?quantity=temperature&from=${t}&to=${t + 3_600_000}`,
    )
    return columns.at.flatMap((at, i) => {
      const value = columns.mean[i] ?? null
      return value === null ? [] : [[`north/probe/temperature ${at}`, value] as const]
    })
  }
  const allArrived = async (count: number) => {
    await until(async () => (await shown()).length === count, `${count} readings to be kept`)
    const wanted = await shown()
    await until(() => wanted.every(([key]) => arrived.has(key)), `${count} readings to arrive`, 15_000)
    for (const [key, value] of wanted) expect([key, arrived.get(key)]).toEqual([key, value])
    expect(differing).toEqual([])
  }
  const standing = async () => (await daemon.call<AlarmsNow>('GET', '/api/alarms')).standing
  const alarmRecord = (record: string) =>
    [...arrived].filter(([key]) => key.startsWith('north/alarm/limit:') && key.includes(`/${record} `))

  test('readings arrive equal to those that are kept, to the last digit', async () => {
    for (let minute = 0; minute < 8; minute++) await publish(5 + minute / 16, minute)
    await allArrived(8)
    const { upstream } = await daemon.call<KeepingNow>('GET', '/api/keeping')
    expect(upstream).toMatchObject({ site: 'north', name: 'up' })
  })

  test('an alarm arrives when it is raised and when it has returned', async () => {
    for (let minute = 8; minute < 20; minute++) await publish(-2, minute)
    await until(() => alarmRecord('raised').length > 0, 'a raised alarm')
    expect(alarmRecord('priority').map(([, value]) => value)).toContain('high')
    for (let minute = 20; minute < 35; minute++) await publish(5, minute)
    await until(() => alarmRecord('returned').length > 0, 'the alarm to return')
    expect(new Set(alarmRecord('out').map(([, value]) => value))).toEqual(new Set([true, false]))
  })

  test('what the house hears while the broker elsewhere is gone arrives when that is back', async () => {
    await allArrived(35)
    await far.kill()
    const isLost = async () => {
      const metrics = readOpenMetrics(await (await daemon.ask('GET', '/metrics')).text())
      return metrics.find(({ name }) => name === 'brumal_upstream_up')?.samples[0]?.value === 0
    }
    await until(isLost, 'the loss to be measured')
    await publish(5.25, 35)
    await publish(5.5, 10.5) // late
    await until(async () => (await shown()).length === 37, 'both to be kept')
    expect((await standing()).filter(({ state }) => state.name === 'unacknowledged')).toEqual([])
    await far.restart()
    await allArrived(37)
    await until(() => daemon.printed().includes('passed on again'), 'the log to say so')
    expect(daemon.printed().match(/Nothing is passed on for now/g)).toHaveLength(1)
    expect(daemon.printed().match(/passed on again/g)).toHaveLength(1)
  })

  test('what waited when the daemon was killed arrives after its start', async () => {
    await far.kill()
    await publish(5.75, 36)
    await publish(5.625, 37)
    await until(async () => (await shown()).length === 39, 'both to be kept')
    await daemon.kill('SIGKILL')
    await far.restart()
    await daemon.again()
    await allArrived(39)
  })
})
