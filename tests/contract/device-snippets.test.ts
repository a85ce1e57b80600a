import { execFile, execFileSync } from 'node:child_process'
import { chmodSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { describe, expect, test } from 'vitest'
import { decode } from '../../daemon/mqtt/decode/decode.ts'
import { connectionTo } from '../../daemon/mqtt/sensor-login.ts'
import { Device, MadeDevice } from '../../schemas/access.ts'
import { Signal } from '../../schemas/signal.ts'
import { Settings } from '../../schemas/settings.ts'
import { client, textOf } from '../support/broker-world.ts'
import { aDoor, aGuardedBroker, type Door, granted, sharedPassword } from '../support/device-world.ts'
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { until } from '../support/until.ts'

const shell = promisify(execFile)
const run = (line: string) => shell('/bin/sh', ['-c', line])
const make = (door: Door, device: object) => MadeDevice.parse(door.devices.make(Device.parse(device)))
const textsOf = ({ snippets }: MadeDevice) => snippets.map(({ text }) => text)
const probe = { name: 'probe', kind: 'sensor', topics: ['tele/+/SENSOR'] }
const lamp = { name: 'lamp', kind: 'signal' }

describe('what to paste for a sensor', () => {
  const door = aDoor()
  const made = make(door, probe)
  door.close()
  const [settings = '', code = '', line = ''] = textsOf(made)

  test('X2: says host, port, login and topic in plain MQTT terms', () => {
    expect(settings.split('\n')).toEqual([
      'host: 127.0.0.1',
      'port: 1883',
      'user: probe',
      `password: ${made.password}`,
      'client id: probe',
      'topic: brumal/in/probe',
      'or under: tele/+/SENSOR',
      'QoS: 1',
      'retain: off',
    ])
    expect(line).toContain(`-u probe -P '${made.password}' -q 1 -t brumal/in/probe`)
  })

  test('its C++ makes a SenML reading (RFC 8428) that is understood', () => {
    const [, before = '', after = ''] =
      /String\("(.*?)"\) \+ String\(celsius, 2\) \+ "(.*?)";/.exec(code) ?? []
    const payload = `${before.replaceAll('\\"', '"')}5.25${after}`
    const decoded = decode({ kind: 'auto' }, Buffer.from(payload), null, null)
    expect(decoded).toMatchObject({ ok: true, found: [{ quantity: 'temperature', value: 5.25 }] })
    expect(code).toContain(`const char* mqttPassword = "${made.password}";`)
  })
})

describe('what to paste for a lamp or siren', () => {
  const door = aDoor()
  const made = make(door, lamp)
  door.close()
  const [settings = '', example = '', code = '', line = ''] = textsOf(made)

  test('N1: says what to read, and that a lost connection is loud', () => {
    expect(settings).toContain('brumal/alarm/# for every place')
    expect(settings).toContain('connection lost: be loud')
    expect(code).toContain('!mqtt.connected()')
    expect(line).toMatch(
      /^mosquitto_sub -h 127\.0\.0\.1 -p 1883 -u lamp -P '[\w-]{24}' .*-t 'brumal\/alarm\/#' -t brumal\/status$/,
    )
  })

  test('its example is a signal, and its C++ finds in that what rings', () => {
    const [topic, payload = ''] = example.split('\n')
    const signal = Signal.parse(JSON.parse(payload))
    expect(topic).toBe(`brumal/alarm/${signal.place}`)
    const looked = [...code.matchAll(/indexOf\("(.*?)"\)/g)].map(([, text = '']) =>
      text.replaceAll('\\"', '"'),
    )
    expect(looked).toEqual(['"priority":"high"', '"unacknowledged":true'])
    for (const text of looked) expect(JSON.stringify(signal)).toContain(text)
  })
})

describe.skipIf(mosquittoMissing)(
  `from a shell${mosquittoMissing ? ` (left out: ${mosquittoMissing})` : ''}`,
  () => {
    test('X2: the lines work as they stand, at the broker inside', async () => {
      const door = aDoor()
      const house = await aGuardedBroker(door)
      try {
        await run(textsOf(make(door, probe)).at(-1) ?? '')
        await until(() => house.stored.length === 1, 'the reading')
        expect(house.stored).toEqual(['brumal/in/probe [{"n":"temperature","u":"Cel","v":5.1}]'])

        await house.broker.publish('brumal/status', 'online', { retain: true })
        const heard = await run(`${textsOf(make(door, lamp)).at(-1)} -C 1 -W 5`)
        expect(heard.stdout).toBe('brumal/status online\n')
      } finally {
        await house.close()
        door.close()
      }
    })

    test('X2: where the house has a broker of its own, the text makes the login there and nothing is pretended', async () => {
      const door = aDoor({ isOurs: false })
      const made = [make(door, probe), make(door, lamp)] as const
      expect(door.devices.list()).toEqual({ devices: [], sharedLogin: true, isOurs: false })
      expect(door.checkLogin('probe', Buffer.from(made[0].password))).toBeNull()
      door.close()

      const files = await startMosquitto() // a folder to keep them in
      const [passwords, permissions] = [join(files.folder, 'passwords'), join(files.folder, 'acl')]
      writeFileSync(passwords, '')
      const all = ['user brumal', 'topic readwrite #', '', ...made.map((one) => `${textsOf(one)[1]}\n`)]
      writeFileSync(permissions, all.join('\n'))
      const lines = [
        ...made.map((one) => textsOf(one)[0] ?? ''),
        "mosquitto_passwd -b /etc/mosquitto/passwords brumal 'x'",
      ]
      for (const line of lines)
        execFileSync('/bin/sh', ['-c', line.replace('/etc/mosquitto/passwords', passwords)], {
          stdio: 'pipe',
        })
      for (const file of [passwords, permissions]) chmodSync(file, 0o644)
      const config = ['allow_anonymous false', `password_file ${passwords}`, `acl_file ${permissions}`]
      const peer = await startMosquitto({ config })
      try {
        expect(textsOf(made[0]).at(-1)).not.toMatch(/host|port/)
        const heard: string[] = []
        const signIn = async (name: string, password: string) => {
          const one = await client(peer.port, { username: name, password, reconnectPeriod: 0 })
          one.on('message', (topic, payload) => heard.push(`${name}: ${topic} ${textOf(payload)}`))
          for (const filter of ['#', 'brumal/alarm/#']) await granted(one, filter) // Mosquitto grants what it will not hand on
          return one
        }
        const brumal = await signIn('brumal', 'x')
        const sensor = await signIn('probe', made[0].password)
        const reader = await signIn('lamp', made[1].password)
        for (const [who, topic] of [
          ...([
            [sensor, 'brumal/in/other'],
            [sensor, 'brumal/alarm/cellar'],
            [reader, 'brumal/in/probe'],
          ] as const),
          ...([
            [sensor, 'tele/4f/SENSOR'],
            [sensor, 'brumal/in/probe/air'],
            [sensor, 'brumal/in/probe'],
          ] as const),
        ])
          await who.publishAsync(topic, 'x', { qos: 1 })
        await until(() => heard.length === 3, 'what the sensor may publish')
        expect(heard).toEqual(
          ['tele/4f/SENSOR', 'brumal/in/probe/air', 'brumal/in/probe'].map((topic) => `brumal: ${topic} x`),
        )
        await brumal.publishAsync('brumal/alarm/cellar', '{}', { qos: 1 })
        await until(() => heard.length >= 5, 'the signal')
        expect(heard.slice(3).sort()).toEqual([
          'brumal: brumal/alarm/cellar {}',
          'lamp: brumal/alarm/cellar {}',
        ])
        for (const each of [brumal, sensor, reader]) await each.endAsync(true)
      } finally {
        await peer.stop()
        await files.stop()
      }
    })
  },
)

describe('how a sensor reaches the broker', () => {
  const broker = { state: () => ({}) as never, port: () => 1899 } as never
  const settings = Settings.parse({})

  test('with the shared login open, the line carries it', () => {
    expect(connectionTo(settings, broker, 'house', sharedPassword)).toMatchObject({
      user: 'sensors',
      password: sharedPassword,
      port: 1899,
    })
    expect(connectionTo(settings, broker, 'house', sharedPassword).tryLine).toContain(
      `-u sensors -P '${sharedPassword}'`,
    )
  })

  test('X2: with the shared login closed, it shows none and the line leaves it open', () => {
    for (const closed of [null, '']) {
      const how = connectionTo(settings, broker, 'house', closed)
      expect(how).toMatchObject({ user: null, password: null })
      expect(how.tryLine).toMatch(
        /^mosquitto_pub -h house -p 1899 -u … -P '…' -q 1 -t brumal\/in\/test-probe -m /,
      )
    }
  })

  test('X4: an external broker’s password stays unsaid', () => {
    const own = Settings.parse({
      mqtt: { broker: { url: 'mqtt://frog-house.example', user: 'brumal', password: 'winter-secret' } },
    })
    const how = connectionTo(own, broker, 'house', sharedPassword)
    expect(how.tryLine).toContain("-h frog-house.example -p 1883 -u brumal -P '…'")
    expect(JSON.stringify(how)).not.toMatch(/winter-secret|fern-lamp/)
  })
})
