import { randomBytes } from 'node:crypto'
import type { IClientOptions, MqttClient } from 'mqtt'
import { embeddedBroker } from '../../daemon/mqtt/embedded.ts'
import { deviceLogins } from '../../daemon/mqtt/devices.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { DeviceStore } from '../../daemon/ports/devices.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { Device } from '../../schemas/access.ts'
import { instant, millis } from '../../schemas/amounts.ts'
import { client, keptLog, noChance, realClock, textOf } from './broker-world.ts'
import { temporaryFolder } from './store-world.ts'
import { until } from './until.ts'

export const sharedPassword = 'fern-lamp-oak-42'

/** Logins over a database of their own, and a clock that stands still until it is moved. */
export function aDoor(change: { isOurs?: boolean; spoil?: (store: DeviceStore) => DeviceStore } = {}) {
  const folder = temporaryFolder()
  const db = openDatabase(folder.path)
  const store = sqliteDevices(db)
  let now = Date.UTC(2026, 0, 10)
  const clock: Clock = { now: () => instant(now), uptime: () => millis(now) }
  let port = 1883
  const open = () =>
    deviceLogins({
      store: change.spoil?.(store) ?? store,
      sharedPassword,
      random: randomBytes,
      clock,
      address: () => ({ host: '127.0.0.1', port }),
      isOurs: change.isOurs ?? true,
    })
  const logins = open()
  return {
    ...logins,
    store,
    clock,
    /** The logins as they are after a restart. */
    reopened: open,
    /** Makes a device as Set-up does, and gives its password. */
    make: (name: string, kind: Device['kind'] = 'sensor', topics: string[] = []): string =>
      logins.devices.make(Device.parse({ name, kind, topics })).password,
    passes(ms: number) {
      now += ms
    },
    listensOn(open: number) {
      port = open
    },
    close() {
      db.close()
      folder.remove()
    },
  }
}

export type Door = ReturnType<typeof aDoor>

/** The embedded broker behind such logins; what it hands on is settled at once and kept as `topic payload`. */
export async function aGuardedBroker(door: Door, anonymous = false) {
  const log = keptLog()
  const broker = embeddedBroker({
    host: '127.0.0.1',
    port: 0,
    anonymous,
    checkLogin: door.checkLogin,
    clock: realClock,
    random: noChance,
    log,
  })
  const stored: string[] = []
  broker.start(({ topic, payload }, settle) => {
    stored.push(`${topic} ${textOf(payload)}`)
    settle(null)
  })
  await until(() => broker.state().name === 'up', 'the broker to listen')
  const port = broker.port() ?? 0
  door.listensOn(port)
  const clients: MqttClient[] = []

  async function signIn(
    username: string | undefined,
    password?: string,
    options: IClientOptions = {},
  ): Promise<MqttClient> {
    const given = {
      ...(username === undefined ? {} : { username }),
      ...(password === undefined ? {} : { password }),
    }
    const connected = await client(port, { ...given, reconnectPeriod: 0, ...options })
    connected.on('error', () => undefined)
    clients.push(connected)
    return connected
  }

  return {
    broker,
    port,
    log,
    stored,
    signIn,
    async close() {
      for (const each of clients) await each.endAsync(true)
      await broker.stop()
    },
  }
}

/** What the broker grants a subscription: its QoS, or 128 for a refusal (MQTT 3.1.1 §3.9.3). */
export const granted = (reader: MqttClient, filter: string): Promise<number> =>
  new Promise((resolve, reject) => {
    reader.subscribe(filter, { qos: 1 }, (error, _subscriptions, suback) => {
      const code = suback?.granted[0]
      if (typeof code === 'number') resolve(code)
      else reject(error ?? new Error(`no answer to ${filter}`))
    })
  })

/** Publishes with QoS 1; resolves when it is acknowledged. */
export const say = (who: MqttClient, topic: string, payload = '5') =>
  who.publishAsync(topic, payload, { qos: 1 })
/** Acknowledged in the order sent: once `last` is through, what came before it was stored or dropped. */
export const sayAll = async (who: MqttClient, topics: readonly string[], last: string) => {
  for (const topic of topics) await say(who, topic)
  await say(who, last, 'last')
}
