import { connect, createServer } from 'node:net'
import type { AddressInfo, Server, Socket } from 'node:net'
import { generate, parser } from 'mqtt-packet'
import type { IConnectPacket, Packet } from 'mqtt-packet'
import type { MqttClient } from 'mqtt'
import { afterEach, expect, test } from 'vitest'
import { embeddedBroker } from '../../daemon/mqtt/embedded.ts'
import type { CheckLogin } from '../../daemon/mqtt/embedded-door.ts'
import { client, keptLog, listenTo, noChance, realClock, textOf } from '../support/broker-world.ts'
import { tapInFrontOf } from '../support/mqtt-tap.ts'
import { until } from '../support/until.ts'
import { brokerSuite } from './broker-suite.ts'

const password = 'winter-secret'
const names: Record<string, (topic: string) => boolean> = {
  fridge: (topic) => topic.startsWith('brumal/in/fridge'),
  attic: (topic) => topic.startsWith('brumal/in/attic'),
  lamp: () => false,
  master: () => true,
}

const checkLogin: CheckLogin = (user, given) => {
  const lasting = { isGood: () => true, seen: () => undefined }
  if (user === undefined)
    return { ...lasting, name: 'nameless', mayPublish: () => true, mayRead: () => false }
  const mayPublish = names[user]
  if (!mayPublish || textOf(given ?? new Uint8Array()) !== password) return null
  return {
    ...lasting,
    name: user,
    mayPublish,
    mayRead: (filter) => user === 'master' || (user === 'lamp' && filter.startsWith('brumal/alarm/')),
  }
}

const undo: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const step of undo.splice(0).reverse()) await step()
})

function aBroker(change: { host?: string; port?: number; anonymous?: boolean } = {}) {
  const log = keptLog()
  const broker = embeddedBroker({
    host: '127.0.0.1',
    port: 0,
    anonymous: false,
    ...change,
    checkLogin,
    clock: realClock,
    random: noChance,
    log,
  })
  undo.push(() => broker.stop())
  return { broker, log, ...listenTo(broker) }
}

async function anOpenBroker(change: { anonymous?: boolean } = {}) {
  const opened = aBroker(change)
  await until(() => opened.broker.state().name === 'up', 'the broker to listen')
  const port = opened.broker.port() ?? 0
  const settleAll = () => opened.arrived.splice(0).map(({ packet, settle }) => (settle(null), packet))
  return { ...opened, port, settleAll }
}

async function device(port: number, username: string, more = {}): Promise<MqttClient> {
  const connected = await client(port, { username, password, clientId: `${username}-1`, ...more })
  undo.push(() => connected.endAsync(true))
  return connected
}

/** A bare socket that speaks packets, for what a library would not send. */
async function bareClient(port: number, first: Partial<IConnectPacket> | null) {
  const socket: Socket = connect(port, '127.0.0.1')
  const got: Packet[] = []
  let isClosed = false
  const packets = parser({ protocolVersion: 4 })
  packets.on('packet', (packet: Packet) => got.push(packet))
  socket.on('data', (bytes) => packets.parse(bytes))
  socket.on('error', () => undefined)
  socket.on('close', () => (isClosed = true))
  undo.push(async () => socket.destroy())
  await new Promise((resolve) => socket.once('connect', resolve))
  const send = (packet: Packet) => socket.write(generate(packet))
  if (first)
    send({
      cmd: 'connect',
      protocolVersion: 4,
      protocolId: 'MQTT',
      clean: true,
      keepalive: 60,
      clientId: 'bare',
      ...first,
    })
  return {
    socket,
    got,
    send,
    isClosed: () => isClosed,
    codes: () => got.map((p) => (p.cmd === 'connack' ? p.returnCode : p.cmd)),
  }
}

const asFridge = { username: 'fridge', password: Buffer.from(password) }

brokerSuite('the embedded broker', async () => {
  const { broker, arrived, texts } = aBroker()
  let downs = 0
  broker.onState((state) => (downs += state.name === 'down' && state.sentence !== 'Stopped.' ? 1 : 0))
  await until(() => broker.state().name === 'up', 'the broker to listen')
  const port = broker.port() ?? 0
  const tap = await tapInFrontOf(() => port)
  const fridge = await client(tap.port, { username: 'fridge', password, clientId: 'fridge-1', clean: false })
  const readers: MqttClient[] = []
  return {
    broker,
    arrived,
    texts,
    send: (topic, payload, qos) => void fridge.publish(topic, payload, { qos }),
    acks: () => tap.acks('server'),
    async hear(topic) {
      const heard: string[] = []
      const lamp = await client(port, { username: 'lamp', password, clientId: `lamp-${readers.length}` })
      readers.push(lamp)
      lamp.on('message', (from, payload) => heard.push(`${from} ${textOf(payload)}`))
      await lamp.subscribeAsync(topic, { qos: 1 })
      return heard
    },
    downs: () => downs,
    async close() {
      for (const each of [fridge, ...readers]) await each.endAsync(true)
      await tap.close()
      for (const { settle } of arrived) {
        try {
          settle(null)
        } catch {
          // settled in the test
        }
      }
      await broker.stop()
    },
  }
})

test('N1: a taken port is said in one sentence with the time of the next try, and heals when it is freed', async () => {
  const other: Server = createServer()
  await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve))
  const { port } = other.address() as AddressInfo
  const { broker } = aBroker({ port })
  await until(() => broker.state().name === 'down', 'the broker to find its port taken')
  const state = broker.state()
  expect(state.sentence).toBe(`Port ${port} is already taken by another program on this machine.`)
  expect(state.retryAt).toBeGreaterThan(state.since)
  expect(broker.port()).toBeNull()
  await until(() => (broker.state().retryAt ?? 0) > (state.retryAt ?? 0), 'a second try')
  expect(broker.state().since).toBe(state.since)

  await new Promise((resolve) => other.close(resolve))
  await until(() => broker.state().name === 'up', 'the broker to take the freed port')
  expect(broker.state()).toMatchObject({ sentence: `Listening on 127.0.0.1:${port}.`, retryAt: null })
})

test('N1: an address that this machine has not is said plainly', async () => {
  const { broker } = aBroker({ host: '192.0.2.1' }) // RFC 5737 TEST-NET-1
  await until(() => broker.state().name === 'down', 'the broker to fail')
  expect(broker.state().sentence).toBe('This machine has no address 192.0.2.1 to listen on.')
})

test('X2: a nameless client is refused with code 5 and a wrong password with 4, and others go on', async () => {
  const { port, arrived } = await anOpenBroker()
  const fridge = await device(port, 'fridge')
  const nameless = await bareClient(port, {})
  const wrong = await bareClient(port, { username: 'fridge', password: Buffer.from('guess') })
  await until(() => nameless.isClosed() && wrong.isClosed(), 'both to be refused')
  expect([nameless.codes(), wrong.codes()]).toEqual([[5], [4]])

  fridge.publish('brumal/in/fridge', '4.5', { qos: 1 })
  await until(() => arrived.length === 1, 'the message of the good client')
  arrived[0]?.settle(null)
})

test('X3: a wrong password is answered after a second, so that guessing is slow', async () => {
  const { port } = await anOpenBroker()
  const begun = performance.now()
  const wrong = await bareClient(port, { username: 'fridge', password: Buffer.from('guess') })
  await until(() => wrong.isClosed(), 'the refusal')
  expect(performance.now() - begun).toBeGreaterThan(950)
})

test('X4: passwords, right and wrong, are not in the log', async () => {
  const { port, log } = await anOpenBroker()
  const wrong = await bareClient(port, { username: 'fridge', password: Buffer.from('guess-4711') })
  await until(() => wrong.isClosed(), 'the refusal')
  expect(log.lines.join('\n')).toContain('its name or password is wrong')
  expect(log.lines.join('\n')).not.toMatch(/guess-4711|winter-secret/)
})

test('nameless clients come in where the settings allow it', async () => {
  const { port, settleAll } = await anOpenBroker({ anonymous: true })
  const nameless = await client(port)
  undo.push(() => nameless.endAsync(true))
  const acknowledged = nameless.publishAsync('zigbee/pond', '4.5', { qos: 1 })
  let taken: ReturnType<typeof settleAll> = []
  await until(() => (taken = settleAll()).length === 1, 'its message')
  await acknowledged
  expect(taken[0]).toMatchObject({ topic: 'zigbee/pond', retained: false })
})

test('X2: a message on a topic that is not its own is dropped, and its sensor is not silenced for it', async () => {
  const { port, arrived, log } = await anOpenBroker()
  const fridge = await device(port, 'fridge', { reconnectPeriod: 0 })
  await fridge.publishAsync('brumal/in/attic', '30', { qos: 1 })
  await fridge.publishAsync('$SYS/broker/uptime', '30', { qos: 1 })
  await fridge.publishAsync('brumal/alarm/fridge', 'all is well', { qos: 1, retain: true })
  fridge.publish('brumal/in/fridge', '4.5', { qos: 1 })
  await until(() => arrived.length === 1, 'its own message')
  arrived[0]?.settle(null)
  expect(textOf(arrived[0]?.packet.payload ?? new Uint8Array())).toBe('4.5')
  expect(log.lines.filter((line) => line.includes('not its topic'))).toHaveLength(1)

  const heard: string[] = []
  const lamp = await device(port, 'lamp')
  lamp.on('message', (topic) => heard.push(topic))
  await lamp.subscribeAsync('brumal/alarm/+', { qos: 1 })
  await lamp.publishAsync('brumal/alarm/x', 'after', { qos: 1 }) // a round trip: it may not publish
  expect(heard).toEqual([])
})

test('X2: a sensor reads nothing, and nobody reads the broker’s own topics', async () => {
  const { port } = await anOpenBroker()
  for (const [username, topic] of [
    ['fridge', '#'],
    ['fridge', 'brumal/in/fridge'],
    ['lamp', '$SYS/#'],
    ['lamp', 'brumal/in/#'],
  ] as const) {
    const reader = await bareClient(port, { username, password: Buffer.from(password) })
    await until(() => reader.got.length === 1, 'CONNACK')
    reader.send({ cmd: 'subscribe', messageId: 1, subscriptions: [{ topic, qos: 1 }] })
    await until(() => reader.got.length === 2, 'SUBACK')
    expect(reader.got[1], `${username} ${topic}`).toMatchObject({ cmd: 'suback', granted: [128] })
  }
})

test('X2: not even a login that may do anything publishes or reads the broker’s own topics', async () => {
  const { port, arrived } = await anOpenBroker()
  const master = await bareClient(port, { username: 'master', password: Buffer.from(password) })
  await until(() => master.got.length === 1, 'CONNACK')
  const subscriptions = ['$SYS/#', '#'].map((topic) => ({ topic, qos: 1 as const }))
  master.send({ cmd: 'subscribe', messageId: 1, subscriptions })
  await until(() => master.got.length === 2, 'SUBACK')
  expect(master.got[1]).toMatchObject({ cmd: 'suback', granted: [128, 1] })

  const message = { cmd: 'publish', payload: 'x', qos: 1, dup: false, retain: false } as const
  master.send({ ...message, topic: '$SYS/broker/uptime', messageId: 2 })
  master.send({ ...message, topic: 'anything/else', messageId: 3 })
  await until(() => arrived.length > 0, 'the message on an open topic')
  for (const { settle } of arrived) settle(null)
  await until(() => master.got.length === 5, 'both PUBACKs and its own message back')
  expect(arrived.map(({ packet }) => packet.topic)).toEqual(['anything/else'])
  expect(master.codes().slice(2).sort()).toEqual(['puback', 'puback', 'publish'])
})

test('X3: a packet that only announces 200 MB is cut off at its header, and others go on', async () => {
  const { port, arrived, log } = await anOpenBroker()
  const fridge = await device(port, 'fridge')
  const greedy = await bareClient(port, { username: 'attic', password: Buffer.from(password) })
  await until(() => greedy.got.length === 1, 'CONNACK')
  greedy.socket.write(Buffer.from([0x32, 0x80, 0x84, 0xaf, 0x5f])) // PUBLISH, remaining length 200 000 000
  await until(() => greedy.isClosed(), 'the greedy one to be cut off')
  expect(log.lines.join('\n')).toMatch(/Disconnected attic\/bare: it sent a packet of more than/)

  fridge.publish('brumal/in/fridge', '4.5', { qos: 1 })
  await until(() => arrived.length === 1, 'the message of the good client')
  arrived[0]?.settle(null)
})

test('X3: a payload of 64 KiB is taken, one byte more is not', async () => {
  const { port, settleAll, arrived } = await anOpenBroker()
  const fridge = await bareClient(port, asFridge)
  await until(() => fridge.got.length === 1, 'CONNACK')
  const publish = (bytes: number, messageId: number) =>
    fridge.send({
      cmd: 'publish',
      topic: 'brumal/in/fridge',
      payload: Buffer.alloc(bytes, 48),
      qos: 1,
      dup: false,
      retain: false,
      messageId,
    })
  publish(65_536, 1)
  await until(() => arrived.length === 1, 'the large message')
  expect(settleAll()[0]?.payload.length).toBe(65_536)
  await until(() => fridge.got.length === 2, 'PUBACK')
  publish(65_537, 2)
  await until(() => fridge.isClosed(), 'the connection to be closed')
  expect(arrived).toEqual([])
})

test('X3: client ids end at 64 characters and topics at 16 levels', async () => {
  const { port, arrived } = await anOpenBroker()
  const longer = await bareClient(port, { ...asFridge, clientId: 'x'.repeat(65) })
  const longest = await bareClient(port, { ...asFridge, clientId: 'x'.repeat(64) })
  await until(() => longer.isClosed(), 'the longer id to be refused')
  expect([longer.codes(), longest.codes()]).toEqual([[2], [0]])

  const deep = (levels: number) => `brumal/in/fridge${'/x'.repeat(levels - 3)}`
  const publish = (levels: number) =>
    longest.send({ cmd: 'publish', topic: deep(levels), payload: '1', qos: 0, dup: false, retain: false })
  publish(16)
  await until(() => arrived.length === 1, 'the 16 levels')
  publish(17)
  await until(() => longest.isClosed(), 'the 17 levels to be refused')
  expect(arrived).toHaveLength(1)
  arrived[0]?.settle(null)
})

test('X3: the 201st connection is turned away and the first 200 stay', async () => {
  const { port, log } = await anOpenBroker()
  const sockets = await Promise.all(Array.from({ length: 200 }, () => bareClient(port, null)))
  const last = await bareClient(port, null)
  await until(() => last.isClosed(), 'the last to be turned away')
  expect(sockets.filter(({ isClosed }) => isClosed())).toEqual([])
  expect(log.lines.join('\n')).toContain('as many as allowed are open')
})

test('L6: what a device publishes with retain is a live message', async () => {
  const { port, arrived } = await anOpenBroker()
  const fridge = await device(port, 'fridge')
  fridge.publish('brumal/in/fridge', '4.5', { qos: 1, retain: true })
  await until(() => arrived.length === 1, 'the message')
  expect(arrived[0]?.packet.retained).toBe(false)
  arrived[0]?.settle(null)
})

test('a device is disconnected when its message cannot be stored, and its neighbour is not', async () => {
  const { port, arrived } = await anOpenBroker()
  const attic = await bareClient(port, {
    username: 'attic',
    password: Buffer.from(password),
    clientId: 'attic-1',
  })
  const fridge = await bareClient(port, asFridge)
  await until(() => attic.got.length + fridge.got.length === 2, 'both CONNACKs')
  fridge.send({
    cmd: 'publish',
    topic: 'brumal/in/fridge',
    payload: '1',
    qos: 1,
    dup: false,
    retain: false,
    messageId: 7,
  })
  await until(() => arrived.length === 1, 'the message')
  arrived[0]?.settle(new Error('the disk is full'))
  await until(() => fridge.isClosed(), 'the connection to be closed')
  expect(fridge.codes()).toEqual([0])

  attic.send({
    cmd: 'publish',
    topic: 'brumal/in/attic',
    payload: '2',
    qos: 2,
    dup: false,
    retain: false,
    messageId: 8,
  })
  await until(() => arrived.length === 2, 'the neighbour’s message')
  expect(attic.codes()).toEqual([0])
  arrived[1]?.settle(null)
  await until(() => attic.got.length === 2, 'PUBREC')
  expect(attic.codes()).toEqual([0, 'pubrec'])
})

test('can be stopped before it was started, and twice', async () => {
  const broker = embeddedBroker({
    host: '127.0.0.1',
    port: 0,
    anonymous: false,
    checkLogin,
    clock: realClock,
    random: noChance,
    log: keptLog(),
  })
  await broker.stop()
  await broker.stop()
  expect(broker.port()).toBeNull()
})
