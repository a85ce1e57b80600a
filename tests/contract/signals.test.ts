import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, describe, expect, test } from 'vitest'
import { makeListener } from '../../daemon/mqtt/claim.ts'
import { embeddedBroker } from '../../daemon/mqtt/embedded.ts'
import { externalBroker } from '../../daemon/mqtt/external.ts'
import type { Broker, OnPacket } from '../../daemon/ports/broker.ts'
import type { Arrival } from '../../daemon/ports/intake.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { ExternalBroker } from '../../schemas/settings.ts'
import { keptLog, noChance, realClock } from '../support/broker-world.ts'
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { tapInFrontOf } from '../support/mqtt-tap.ts'
import { aLampAt, aWatchedHouse, signalsOver } from '../support/signal-world.ts'
import { aHousehold, tortoiseBox } from '../support/story.ts'
import { until } from '../support/until.ts'

const undo: (() => unknown)[] = []
afterEach(async () => {
  for (const step of undo.splice(0).reverse()) await step()
})

/** What comes in is settled unread, unless a test listens. */
const unread: OnPacket = (_packet, settle) => settle(null)

interface Site {
  readonly broker: Broker
  /** Where lamps connect. */
  readonly port: () => number
}

const world = () => ({ clock: realClock, random: noChance, log: keptLog() })

function inside(): Site {
  const login = {
    name: 'lamp',
    isGood: () => true,
    seen: () => undefined,
    mayPublish: () => false,
    mayRead: () => true,
  }
  const broker = embeddedBroker({
    ...world(),
    host: '127.0.0.1',
    port: 0,
    anonymous: true,
    checkLogin: () => login,
  })
  undo.push(() => broker.stop())
  return { broker, port: () => broker.port() ?? 0 }
}

async function beside(config: readonly string[] = []) {
  const peer = await startMosquitto({ config })
  undo.push(() => peer.stop())
  const tap = await tapInFrontOf(() => peer.port)
  undo.push(tap.close)
  const settings = ExternalBroker.parse({ url: `mqtt://127.0.0.1:${tap.port}` })
  const broker = externalBroker({ ...world(), settings, readFile: () => new Uint8Array() })
  undo.push(() => broker.stop())
  return { broker, port: () => peer.port, tap }
}

function aclFile(lines: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'brumal-acl-'))
  undo.push(() => rmSync(folder, { recursive: true, force: true }))
  const file = join(folder, 'acl')
  writeFileSync(file, `${lines.join('\n')}\n`)
  return file
}

const isUp = ({ broker }: Site) => until(() => broker.state().name === 'up', 'the broker to be up', 10_000)

/** A house with a value in its box, its signals over the broker, and a lamp. */
async function begin(site: Site, onPacket: OnPacket = unread) {
  const house = aWatchedHouse()
  undo.push(() => house.close())
  house.reads(5)
  const signals = signalsOver(house, site.broker)
  undo.push(() => signals.stop())
  site.broker.start(onPacket)
  await isUp(site)
  const lamp = await anotherLamp(site)
  await until(
    () => lamp.status() === 'online' && lamp.signal('fridge') !== null,
    'what the lamp is told first',
  )
  return { house, signals, lamp }
}

async function anotherLamp(site: Site) {
  const one = await aLampAt(site.port())
  undo.push(() => one.lamp.endAsync(true))
  return one
}

const brokers: readonly (readonly [string, boolean, () => Site | Promise<Site>])[] = [
  ['the broker inside', false, inside],
  [
    `Mosquitto${mosquittoMissing ? ` (left out: ${mosquittoMissing})` : ''}`,
    mosquittoMissing !== null,
    beside,
  ],
]

describe.each(brokers)('lamps at %s', (_name, isMissing, site) => {
  test.skipIf(isMissing)(
    'a raised alarm reaches a lamp within a second, and its acknowledgement too',
    async () => {
      const { house, lamp } = await begin(await site())
      expect(lamp.signal('box')).toMatchObject({ state: 'safe', priority: null, unacknowledged: false })
      const raised = performance.now()
      house.freezes()
      await until(() => lamp.signal('box')?.unacknowledged === true, 'the alarm', 1000)
      expect(performance.now() - raised).toBeLessThan(1000)
      expect(lamp.signal('box')).toMatchObject({ state: 'out', priority: 'high' })
      await until(() => lamp.signal('fridge')?.priority === 'high', 'the fridge’s', 1000)
      house.acknowledges()
      await until(() => lamp.signal('box')?.unacknowledged === false, 'the acknowledgement', 1000)
      expect(lamp.signal('box')?.state).toBe('out')
    },
  )

  test.skipIf(isMissing)('a lamp that comes later is told at once how things stand', async () => {
    const at = await site()
    const { house, lamp } = await begin(at)
    house.freezes()
    await until(() => lamp.signal('box')?.state === 'out', 'the alarm')
    const late = await anotherLamp(at)
    await until(() => late.signal('box')?.state === 'out' && late.status() === 'online', 'what was kept')
    expect(late.signal('fridge')?.priority).toBe('high')
  })

  test.skipIf(isMissing)('N1: at a stop the last word is offline, and it is kept', async () => {
    const at = await site()
    const { house, signals, lamp } = await begin(at)
    house.freezes() // what is due to be told now comes before the last word, and nothing after it
    await signals.stop()
    house.acknowledges()
    house.passes(minutes(1))
    await until(() => lamp.status() === 'offline', 'the last word')
    expect(lamp.signal('box')).toMatchObject({ state: 'out', unacknowledged: true })
    await new Promise((resolve) => setImmediate(resolve))
    expect(signals.published.at(-1)).toBe('brumal/status')
    const late = await anotherLamp(at)
    await until(() => late.status() === 'offline', 'what was kept')
  })

  test.skipIf(isMissing)('a place that is removed leaves nothing behind', async () => {
    const at = await site()
    const { house, lamp } = await begin(at)
    house.becomes(aHousehold({ places: [{ id: 'shelf', name: 'Shelf', kind: 'frame' }] }))
    await until(() => lamp.signal('box') === null && lamp.signal('fridge') === null, 'both to be taken away')
    await until(() => lamp.signal('shelf')?.state === 'idle', 'the new place')
    const late = await anotherLamp(at)
    await until(() => late.status() === 'online', 'what was kept')
    expect(late.heard.map((line) => line.split(' ')[0]).sort()).toEqual([
      'brumal/alarm/shelf',
      'brumal/status',
    ])
  })

  test.skipIf(isMissing)('readings that change nothing are not published: state changes only', async () => {
    const { house, signals } = await begin(await site())
    const before = signals.published.length
    for (let i = 0; i < 60; i++) {
      house.passes(seconds(10))
      house.reads(5 + (i % 7) / 16)
      house.judges()
    }
    expect(signals.published.length).toBe(before)
  })

  test.skipIf(isMissing)(
    'what time alone brings, such as doubt, is told within five seconds of it',
    async () => {
      const { house, signals, lamp } = await begin(await site())
      const before = signals.published.length
      house.passes(minutes(2))
      expect(lamp.signal('box')?.state).toBe('safe')
      house.passes(seconds(6)) // a value a minute is expected, and fresh for two; looked at each five seconds
      await until(() => lamp.signal('box')?.state === 'unsure', 'doubt')
      expect(signals.published.slice(before).sort()).toEqual(['brumal/alarm/box', 'brumal/alarm/fridge'])
    },
  )

  test.skipIf(isMissing)('what could not be published is tried again, and said once in the log', async () => {
    const { house, signals, lamp } = await begin(await site())
    signals.failsNext(2)
    house.freezes()
    await until(() => signals.log.lines.length > 0, 'the failure')
    expect(lamp.signal('box')?.state).toBe('safe')
    house.passes(seconds(5))
    await until(
      () => lamp.signal('box')?.state === 'out' && lamp.signal('fridge')?.state === 'out',
      'the second try',
    )
    expect(signals.log.lines).toEqual([
      expect.stringContaining('warn A lamp could not be told; it is tried again.'),
    ])
  })
})

describe.skipIf(mosquittoMissing)('with a broker that is another’s', () => {
  test('N1: a connection that breaks makes the broker say offline; back again, all is told anew', async () => {
    const site = await beside()
    const { house, signals, lamp } = await begin(site)
    site.tap.cut()
    await until(() => lamp.status() === 'offline', 'the will')
    expect(site.broker.state().name).toBe('down')
    house.freezes() // while nobody can be told
    house.becomes({
      ...tortoiseBox,
      places: [...tortoiseBox.places, { ...tortoiseBox.places[0]!, id: 'other' as never }],
    })
    const before = signals.published.length
    await isUp(site)
    await until(() => lamp.status() === 'online', 'online again')
    expect(lamp.signal('box')).toMatchObject({ state: 'out', unacknowledged: true })
    expect(signals.published.slice(before).sort()).toEqual(
      ['brumal/alarm/box', 'brumal/alarm/fridge', 'brumal/alarm/other', 'brumal/status'].sort(),
    )
  })

  test('N1: who vanishes without a word is said to be offline, kept for lamps that come later', async () => {
    const site = await beside()
    await begin(site)
    await site.tap.close() // nor is there a way back
    const late = await anotherLamp(site)
    await until(() => late.status() === 'offline', 'the will, kept')
  })

  test('N1: stopped, it does not call itself online again when the broker comes back', async () => {
    const site = await beside()
    const { signals, lamp } = await begin(site)
    await signals.stop()
    site.tap.cut()
    await until(() => site.broker.state().name === 'down', 'the broker to be gone')
    await isUp(site)
    await site.broker.publish('brumal/alarm/after', '', { retain: false })
    await until(() => lamp.heard.includes('brumal/alarm/after '), 'a later word')
    expect(lamp.status()).toBe('offline')
  })

  test('a place removed while the broker was away is taken away when it is back', async () => {
    const site = await beside()
    const { house, lamp } = await begin(site)
    site.tap.cut()
    await until(() => site.broker.state().name === 'down', 'the broker to be gone')
    house.becomes(aHousehold({ places: [{ id: 'shelf', name: 'Shelf', kind: 'frame' }] }))
    expect(lamp.signal('box')).not.toBeNull()
    await isUp(site)
    await until(() => lamp.signal('box') === null && lamp.signal('shelf') !== null, 'the new household')
  })

  test('what it says itself is no source and no reading, though it listens to everything', async () => {
    const arrivals: Arrival[] = []
    const listener = makeListener({
      clock: realClock,
      intake: (arrival, settle) => {
        arrivals.push(arrival)
        settle(null)
      },
    })
    const everything = aHousehold({ ...tortoiseBox, sensors: [{ ...tortoiseBox.sensors[0], topic: '#' }] })
    listener.useSensors(everything.sensors)
    const site = await beside()
    const { lamp } = await begin(site, listener.onPacket)
    await lamp.lamp.publishAsync('brumal/alarms', '5.5', { qos: 1 })
    await until(() => arrivals.length > 0, 'a message of somebody else')
    const acknowledged = () => site.tap.acks('client').length
    const toUs = () =>
      site.tap.seen.filter(
        ({ from, packet }) => from === 'server' && packet.cmd === 'publish' && packet.qos === 1,
      ).length
    expect(toUs()).toBeGreaterThanOrEqual(4) // the two places, the status, the other
    await until(() => acknowledged() === toUs(), 'all to be acknowledged')
    expect(arrivals.map(({ topic }) => topic)).toEqual(['brumal/alarms'])
  })

  test('a user who may only read there has its readings all the same', async () => {
    const reads = ['topic read #'] // for nameless clients
    const site = await beside([`acl_file ${aclFile(reads)}`])
    const house = aWatchedHouse()
    undo.push(() => house.close())
    const signals = signalsOver(house, site.broker)
    undo.push(() => signals.stop())
    site.broker.start(unread)
    await isUp(site)
    const lamp = await anotherLamp(site)
    await until(() => site.tap.acks('server').length >= 3, 'Mosquitto to acknowledge what it drops')
    site.tap.cut()
    await until(() => site.broker.state().name === 'down', 'the broker to be gone')
    await isUp(site)
    expect(lamp.heard).toEqual([])
  })
})

describe('with the broker inside', () => {
  test('N1: when it goes, the connection of a lamp ends: that is its sign', async () => {
    const site = inside()
    const { signals, lamp } = await begin(site)
    await signals.stop()
    await site.broker.stop()
    await until(() => !lamp.lamp.connected, 'the connection to end')
    expect(lamp.heard.at(-1)).toBe('brumal/status offline')
  })
})
