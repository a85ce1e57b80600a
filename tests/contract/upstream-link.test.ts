import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Aedes } from 'aedes'
import { afterEach, describe, expect, test } from 'vitest'
import { upstreamLink } from '../../daemon/mqtt/upstream.ts'
import { Upstream } from '../../schemas/settings.ts'
import { client, keptLog, noChance, realClock } from '../support/broker-world.ts'
import { makeCertificates } from '../support/certificates.ts'
import { freePort, mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { until } from '../support/until.ts'

const undo: (() => unknown)[] = []
afterEach(async () => {
  for (const step of undo.splice(0).reverse()) await step()
})

function linkTo(url: string, change: Partial<Upstream> = {}) {
  const link = upstreamLink({
    settings: Upstream.parse({ url, site: 'north', ...change }),
    clock: realClock,
    random: noChance,
    log: keptLog(),
    readFile: readFileSync,
  })
  undo.push(() => link.stop())
  const states: string[] = []
  link.onState(({ name, sentence }) => void states.push(`${name}: ${sentence}`))
  link.start()
  return { link, states, up: () => until(() => link.state().name === 'up', `up: ${states.join(' | ')}`) }
}

const messages = (count: number, topic = 'brumal/site/north/readings/box') =>
  Array.from({ length: count }, (_, i) => ({ topic, payload: `[{"n":"a","v":${i}}]` }))

describe.skipIf(mosquittoMissing !== null)('with a Mosquitto elsewhere', () => {
  test('every message of a window is acknowledged, more than the broker allows at once among them', async () => {
    const broker = await startMosquitto({ config: ['max_inflight_messages 3'] })
    undo.push(broker.stop)
    const reader = await client(broker.port)
    undo.push(() => reader.endAsync(true))
    const got: string[] = []
    reader.on('message', (_topic, payload) => void got.push(payload.toString()))
    await reader.subscribeAsync('brumal/site/#', { qos: 1 })
    const { link, up } = linkTo(broker.url)
    expect(await link.send(messages(1))).toBe(false)
    await up()
    expect(await link.send(messages(50))).toBe(true)
    await until(() => got.length === 50, 'all of it')
    expect(new Set(got).size).toBe(50)
    expect(await link.send([])).toBe(true)
  })

  test('X2: where a site may not publish it is told so, and what it sent is not taken for gone', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'brumal-acl-'))
    undo.push(() => rmSync(folder, { recursive: true, force: true }))
    const acl = join(folder, 'acl')
    writeFileSync(acl, 'topic write brumal/site/north/#\n')
    const broker = await startMosquitto({ config: [`acl_file ${acl}`] })
    undo.push(broker.stop)
    const { link, states, up } = linkTo(broker.url)
    await up()
    expect(await link.send(messages(2))).toBe(true)
    expect(await link.send(messages(2, 'brumal/site/south/alarms'))).toBe(false)
    expect(states.at(-1)).toMatch(
      /^down: The broker at \S+ does not let us publish to brumal\/site\/south\/alarms\.$/,
    )
    await up() // and tries again
  })

  test('X4: by TLS with user and password, which no sentence holds', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'brumal-tls-'))
    undo.push(() => rmSync(folder, { recursive: true, force: true }))
    const { ca, otherCa, good } = makeCertificates(folder)
    const port = await freePort()
    const broker = await startMosquitto({
      config: [`listener ${port} 127.0.0.1`, `certfile ${good.cert}`, `keyfile ${good.key}`],
    })
    undo.push(broker.stop)
    const url = `mqtts://localhost:${port}`
    const wrong = linkTo(url, { user: 'north', password: 'hedgehog', caFile: otherCa })
    await until(() => wrong.link.state().name === 'down', 'the refusal')
    expect(wrong.states.at(-1)).toMatch(/unknown authority|self-signed/)
    const right = linkTo(url, { user: 'north', password: 'hedgehog', caFile: ca })
    await right.up()
    expect(await right.link.send(messages(1))).toBe(true)
    expect(right.states.at(-1)).toBe(`up: Connected to mqtts://localhost:${port} as north.`)
    expect([...wrong.states, ...right.states].join()).not.toContain('hedgehog')
  })
})

test('a broker that knows MQTT 3.1.1 alone is spoken to by that', async () => {
  const aedes = await Aedes.createBroker()
  const server = createServer(aedes.handle)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  undo.push(() => new Promise<void>((resolve) => aedes.close(() => server.close(() => resolve()))))
  const { link, up } = linkTo(`mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`)
  await up()
  expect(await link.send(messages(3))).toBe(true)
})
