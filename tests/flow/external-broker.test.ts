import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import mqtt from 'mqtt'
import { afterEach, describe, expect, test } from 'vitest'
import type { Series } from '../../schemas/api.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { type Mosquitto, mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { until } from '../support/until.ts'

let daemon: Daemon | null = null
let broker: Mosquitto | null = null
afterEach(async () => {
  await daemon?.stop()
  await broker?.stop()
  daemon = null
  broker = null
})

async function publishAll(
  url: string,
  messages: readonly (readonly [topic: string, payload: string, retain?: boolean])[],
) {
  const client = await mqtt.connectAsync(url)
  for (const [topic, payload, retain] of messages)
    await client.publishAsync(topic, payload, { qos: 1, retain: retain ?? false })
  await client.endAsync()
}

const isUp = async () => (await daemon?.tonight())?.broker.name === 'up'

describe.skipIf(mosquittoMissing !== null)('with a Mosquitto of the house’s own', () => {
  test('what sensors sent while the daemon was away arrives after its start, in order, and is judged', async () => {
    broker = await startMosquitto({})
    daemon = await startDaemon({
      env: { BRUMAL_BROKER_URL: broker.url, BRUMAL_STORE_COMMIT_EVERY: '200 ms' },
    })
    await tortoiseHouse(daemon)
    await until(isUp, 'the broker')
    const t = Date.now() - 40 * 60_000
    await publishAll(broker.url, [['brumal/in/probe', senml(5, t)]])
    await until(async () => (await daemon?.tonight())?.places[1]?.values.length === 1, 'the first value')
    await daemon.kill('SIGKILL')

    const away = Array.from(
      { length: 30 },
      (_, i) => ['brumal/in/probe', senml(5 - i * 0.25, t + (i + 1) * 60_000)] as const,
    )
    await publishAll(broker.url, away)
    await daemon.again()
    const series = `/api/sensors/probe/series?quantity=temperature&from=${t}&to=${t + 3_600_000}`
    const stored = async () =>
      (await daemon?.call<Series>('GET', series))?.columns.mean.filter((value) => value !== null) ?? []
    await until(async () => (await stored()).length === 31, 'all that was sent while away')
    expect(await stored()).toEqual([5, ...away.map((_, i) => 5 - i * 0.25)])
    expect((await daemon.alarms()).standing.map((alarm) => alarm.limit)).toContain('lowCritical')
  })

  test('a retained message without its own time is last known, never fresh (L6)', async () => {
    broker = await startMosquitto({})
    await publishAll(broker.url, [['brumal/in/probe', senml(-3), true]])
    daemon = await startDaemon({ env: { BRUMAL_BROKER_URL: broker.url } })
    await tortoiseHouse(daemon)
    await daemon.kill('SIGTERM')
    await daemon.again()
    await until(async () => (await daemon?.tonight())?.places[1]?.values.length === 1, 'the retained value')
    const box = (await daemon.tonight()).places[1]
    expect(box).toMatchObject({ standing: 'unsure', values: [{ value: -3, fresh: false, lastKnown: true }] })
    expect((await daemon.alarms()).standing).toEqual([])
  })

  test('a refused login is one clear sentence on Tonight, and the watch recovers when the login is made', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'brumal-passwords-'))
    const passwords = join(folder, 'passwords')
    const setPassword = (password: string) =>
      execFileSync('mosquitto_passwd', ['-c', '-b', passwords, 'brumal', password], { stdio: 'ignore' })
    try {
      setPassword('another one')
      broker = await startMosquitto({ config: ['allow_anonymous false', `password_file ${passwords}`] })
      daemon = await startDaemon({
        env: {
          BRUMAL_BROKER_URL: broker.url,
          BRUMAL_BROKER_USER: 'brumal',
          BRUMAL_BROKER_PASSWORD: 'hedgehog-in-leaves',
        },
      })
      await until(async () => (await daemon?.tonight())?.broker.name === 'down', 'the refusal to be shown')
      const { sentence, retryAt } = (await daemon.tonight()).broker
      expect(sentence).toMatch(/login|user|password/i)
      expect(sentence).not.toContain('hedgehog')
      expect(retryAt).not.toBeNull()
      setPassword('hedgehog-in-leaves')
      broker.reload()
      await until(isUp, 'the broker to let it in', 20_000)
      expect(daemon.printed()).not.toContain('hedgehog')
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })

  test('a broker that restarts loses nothing that it had acknowledged', async () => {
    broker = await startMosquitto({})
    // what is left in hand at the end would wait for its commit longer than a test may
    daemon = await startDaemon({ env: { BRUMAL_BROKER_URL: broker.url, BRUMAL_STORE_COMMIT_EVERY: '2 s' } })
    await tortoiseHouse(daemon)
    await until(isUp, 'the broker')
    const t = Date.now() - 3_000_000
    const messages = Array.from(
      { length: 500 },
      (_, i) => ['brumal/in/probe', senml(5 + (i % 5) / 16, t + i * 1000)] as const,
    )
    await publishAll(broker.url, messages.slice(0, 250))
    await broker.restart()
    await publishAll(broker.url, messages.slice(250))
    const readings = async () => {
      const { columns } = await (daemon as Daemon).call<Series>(
        'GET',
        `/api/sensors/probe/series?quantity=temperature&from=${t}&to=${t + 600_000}`,
      )
      return columns.mean.filter((value) => value !== null).length
    }
    await until(async () => (await readings()) === 500, 'all five hundred', 30_000)
  })
})
