import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { Device } from '../../schemas/access.ts'
import { textOf } from '../support/broker-world.ts'
import {
  aDoor,
  aGuardedBroker,
  type Door,
  granted,
  say,
  sayAll,
  sharedPassword,
} from '../support/device-world.ts'
import { until } from '../support/until.ts'

let door: Door
let house: Awaited<ReturnType<typeof aGuardedBroker>>
beforeEach(async () => {
  door = aDoor()
  house = await aGuardedBroker(door)
})
afterEach(async () => {
  await house.close()
  door.close()
})

/** Ears of a lamp that may read all there is to read. */
async function aLamp() {
  const lamp = await house.signIn('lamp', door.make('lamp', 'signal'))
  const heard: string[] = []
  lamp.on('message', (topic, payload) => heard.push(`${topic} ${textOf(payload)}`))
  expect([await granted(lamp, 'brumal/alarm/#'), await granted(lamp, 'brumal/status')]).toEqual([1, 1])
  return { lamp, heard }
}

describe('a sensor with a login of its own', () => {
  test('X2: publishes to its own topic, below it, and to its extra topics', async () => {
    const probe = await house.signIn('probe', door.make('probe', 'sensor', ['tele/+/SENSOR', 'shed/#']))
    const topics = [
      'brumal/in/probe',
      'brumal/in/probe/air',
      'brumal/in/probe/a/b',
      'tele/4f/SENSOR',
      'shed',
      'shed/x/y',
    ]
    for (const topic of topics) await say(probe, topic)
    expect(house.stored).toEqual(topics.map((topic) => `${topic} 5`))
  })

  test('X2: another topic is acknowledged and dropped: not stored, not passed on, not kept', async () => {
    const { heard } = await aLamp()
    door.make('attic', 'sensor', ['attic/#'])
    const probe = await house.signIn(
      'probe',
      door.make('probe', 'sensor', ['tele/+/SENSOR', 'brumal/in/+', 'brumal/in/#']),
    )
    const tricks = [
      ...['brumal/in/attic', 'brumal/in/attic/air', 'attic/x'],
      ...['brumal/alarm', 'brumal/alarm/cellar', 'brumal/alarm/', 'brumal/status', 'brumal/status/x'],
      ...[
        '$SYS/uptime',
        '$share/x/brumal/in/probe',
        '$',
        'tele/SENSOR',
        'tele/a/b/SENSOR',
        'tele/4f/SENSOR/x',
        'else',
      ],
    ]
    for (const topic of tricks) await probe.publishAsync(topic, 'false', { qos: 1, retain: true })
    await say(probe, 'brumal/in/probe', 'last')
    expect(house.stored).toEqual(['brumal/in/probe last'])

    await house.broker.publish('brumal/status', 'online', { retain: true })
    await until(() => heard.length > 0, 'the true status')
    expect(heard).toEqual(['brumal/status online'])
    const { heard: later } = await aLamp() // a new password ends the first lamp's login
    await until(() => later.length > 0, 'what was kept')
    expect(later).toEqual(['brumal/status online'])
  })

  test('X2: a topic that only looks like its own is not', async () => {
    const probe = await house.signIn('probe', door.make('probe'))
    const tricks = [
      ...['brumal/in/probe2', 'brumal/in/prob', 'brumal/in/PROBE', 'Brumal/in/probe', 'brumal/in//probe'],
      ...[
        '/brumal/in/probe',
        'brumal/in/probe ',
        'brumal/in/',
        'brumal/in',
        'brumal/in/../probe',
        'x/brumal/in/probe',
      ],
    ]
    await sayAll(probe, tricks, 'brumal/in/probe')
    expect(house.stored).toEqual(['brumal/in/probe last'])
  })

  test('X2: a wildcard in a published topic closes the connection and stores nothing', async () => {
    const password = door.make('probe')
    for (const topic of ['brumal/in/+', '#', 'brumal/in/probe/#']) {
      const probe = await house.signIn('probe', password)
      // past the library's own check, as a hostile client would send it
      probe.stream.write(publishPacket(topic))
      await until(() => !probe.connected, `${topic} to be refused`)
    }
    expect(house.stored).toEqual([])
  })

  test('X2: reads nothing, its own topic neither', async () => {
    const probe = await house.signIn('probe', door.make('probe', 'sensor', ['shed/#']))
    for (const filter of [
      '#',
      '+',
      '+/#',
      'brumal/in/probe',
      'brumal/in/probe/#',
      'shed/#',
      'brumal/alarm/#',
      'brumal/status',
      '$SYS/#',
      '$share/x/#',
    ])
      expect([filter, await granted(probe, filter)]).toEqual([filter, 128])
  })

  test('X2: its will is a message like any other: to a topic that is not its own it says nothing', async () => {
    const { heard } = await aLamp()
    const password = door.make('probe')
    for (const [topic, clientId] of [
      ['brumal/alarm/cellar', 'a'],
      ['brumal/in/probe', 'b'],
    ] as const) {
      const will = { topic, payload: Buffer.from('gone'), qos: 1, retain: true } as const
      const probe = await house.signIn('probe', password, { clientId, will })
      probe.stream.destroy()
    }
    await until(() => house.stored.length === 1, 'the will on its own topic')
    await house.broker.publish('brumal/status', 'online', { retain: true })
    await until(() => heard.length === 1, 'the status')
    expect([house.stored, heard]).toEqual([['brumal/in/probe gone'], ['brumal/status online']])
  })
})

describe('a lamp or siren', () => {
  test('X2: reads what lamps are told and nothing wider', async () => {
    const lamp = await house.signIn('lamp', door.make('lamp', 'signal'))
    for (const filter of [
      'brumal/alarm/#',
      'brumal/alarm/cellar',
      'brumal/alarm/+',
      'brumal/alarm/a/b',
      'brumal/status',
    ])
      expect([filter, await granted(lamp, filter)]).toEqual([filter, 1])
    const wider = [
      '#',
      '+',
      'brumal/#',
      'brumal/+',
      'brumal/+/cellar',
      '+/alarm/#',
      '+/status',
      '+/+/#',
      'brumal/alarm',
      'brumal/alarms/x',
    ]
    const others = [
      'brumal/in/#',
      'brumal/in/lamp',
      'brumal/status/#',
      '$SYS/#',
      '$share/x/brumal/alarm/#',
      '/brumal/alarm/#',
      'BRUMAL/alarm/#',
    ]
    for (const filter of [...wider, ...others])
      expect([filter, await granted(lamp, filter)]).toEqual([filter, 128])
  })

  test('X2: publishes nothing, and hears nothing of what sensors say', async () => {
    const { lamp, heard } = await aLamp()
    const probe = await house.signIn('probe', door.make('probe'))
    for (const topic of ['brumal/in/lamp', 'brumal/alarm/cellar', 'brumal/status', 'x'])
      await say(lamp, topic, 'false')
    await say(probe, 'brumal/in/probe')
    await house.broker.publish('brumal/alarm/cellar', '{}', { retain: true })
    await until(() => heard.length > 0, 'the signal')
    expect([heard, house.stored]).toEqual([['brumal/alarm/cellar {}'], ['brumal/in/probe 5']])
  })

  test('X2: one that is removed while it listens is cut off and hears nothing more', async () => {
    const { lamp, heard } = await aLamp()
    await house.broker.publish('brumal/status', 'online', { retain: true })
    await until(() => heard.length === 1, 'the status')
    door.devices.remove('lamp')
    await house.broker.publish('brumal/alarm/cellar', '{}', { retain: true })
    await until(() => !lamp.connected, 'its connection to close')
    expect(heard).toEqual(['brumal/status online'])
    expect(house.log.lines.join('\n')).toContain('its login has ended')
  })
})

describe('the login that all sensors may share', () => {
  const sensors = () => house.signIn('sensors', sharedPassword)

  test('X2: publishes anything but our topics and those of devices with a login of their own, and reads nothing', async () => {
    door.make('probe', 'sensor', ['tele/+/SENSOR'])
    door.make('lamp', 'signal')
    const shared = await sensors()
    const closed = [
      'brumal/in/probe',
      'brumal/in/probe/air',
      'tele/4f/SENSOR',
      'brumal/alarm/x',
      'brumal/status',
      '$SYS/x',
    ]
    for (const topic of closed) await say(shared, topic, 'false')
    const open = [
      'brumal/in/attic',
      'brumal/in/probe2',
      'brumal/in',
      'brumal/in/lamp',
      'tele/4f/STATE',
      'x',
      'brumal/alarms',
    ]
    for (const topic of open) await say(shared, topic)
    expect(house.stored).toEqual(open.map((topic) => `${topic} 5`))
    for (const filter of ['#', 'brumal/alarm/#', 'x']) expect(await granted(shared, filter)).toBe(128)
  })

  test('X2: loses a device’s topics when that gets a login, and has them back when it is removed', async () => {
    const shared = await sensors()
    await say(shared, 'brumal/in/probe', '1')
    door.make('probe', 'sensor', ['shed/#'])
    await say(shared, 'brumal/in/probe', '2')
    await say(shared, 'shed/x', '3')
    door.devices.remove('probe')
    await say(shared, 'brumal/in/probe', '4')
    await say(shared, 'shed/x', '5')
    expect(house.stored).toEqual(['brumal/in/probe 1', 'brumal/in/probe 4', 'shed/x 5'])
  })

  test('X2: closed, it lets nobody in and those who are in go at their next message; opened, it works again', async () => {
    const shared = await sensors()
    door.devices.openSharedLogin(false)
    expect(door.devices.list().sharedLogin).toBe(false)
    shared.publish('x', 'late', { qos: 1 })
    await until(() => !shared.connected, 'its connection to close')
    await expect(sensors()).rejects.toMatchObject({ code: 4 })
    expect(door.reopened().checkLogin('sensors', Buffer.from(sharedPassword))).toBeNull()

    door.devices.openSharedLogin(true)
    await say(await sensors(), 'x', 'again')
    expect(house.stored).toEqual(['x again'])
  })

  test('X2: nameless clients, where the settings let them in, may as much as it, closed or not', async () => {
    const open = await aGuardedBroker(door, true)
    try {
      door.make('probe')
      door.devices.openSharedLogin(false)
      await sayAll(await open.signIn(undefined), ['brumal/in/probe', 'brumal/status'], 'x')
      expect(open.stored).toEqual(['x last'])
    } finally {
      await open.close()
    }
  })
})

test('X2: a topic that was stored wider than is allowed still gives nobody ours', () => {
  const password = door.make('probe')
  const wider = aDoor({
    spoil: () => ({
      ...door.store,
      devices: () => door.store.devices().map((one) => ({ ...one, topics: ['#'] })),
    }),
  })
  const login = wider.checkLogin('probe', Buffer.from(password))
  expect(['x', 'brumal/alarm/x', 'brumal/status'].filter((topic) => login?.mayPublish(topic))).toEqual(['x'])
  wider.close()
})

test('X2: whatever extra topics devices have, nobody but a sensor publishes to its own topic, and nobody to ours', () => {
  const names = ['a', 'b', 'sensors-2'] as const
  const level = fc.constantFrom('a', 'b', 'in', 'brumal', 'alarm', 'status', 'x', '+', '')
  const filter = fc
    .tuple(fc.array(level, { minLength: 1, maxLength: 4 }), fc.boolean())
    .map(([levels, isDeep]) => [...levels, ...(isDeep ? ['#'] : [])].join('/'))
    .filter((topics) => Device.safeParse({ name: 'a', kind: 'sensor', topics: [topics] }).success)
  const below = fc.array(fc.constantFrom('a', 'b', 'air', ''), { maxLength: 2 })
  fc.assert(
    fc.property(
      fc.array(fc.array(filter, { maxLength: 3 }), { minLength: 3, maxLength: 3 }),
      below,
      (topics, deeper) => {
        const logins = names.map((name, i) =>
          door.checkLogin(name, Buffer.from(door.make(name, 'sensor', topics[i]))),
        )
        const everyone = [
          ...logins,
          door.checkLogin('sensors', Buffer.from(sharedPassword)),
          door.checkLogin(undefined, undefined),
        ]
        for (const name of names) {
          const topic = ['brumal/in', name, ...deeper].join('/')
          expect(everyone.filter((login) => login?.mayPublish(topic)).map((login) => login?.name)).toEqual([
            name,
          ])
        }
        for (const topic of [['brumal/alarm', ...deeper].join('/'), ['brumal/status', ...deeper].join('/')])
          expect(everyone.some((login) => login?.mayPublish(topic))).toBe(false)
      },
    ),
    { numRuns: 100 },
  )
}, 60_000)

/** PUBLISH, QoS 0 (MQTT 3.1.1 §3.3). */
function publishPacket(topic: string): Buffer {
  const name = Buffer.from(topic)
  return Buffer.concat([Buffer.from([0x30, name.length + 3, 0, name.length]), name, Buffer.from('5')])
}
