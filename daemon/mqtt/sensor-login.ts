import { timingSafeEqual } from 'node:crypto'
import type { Connection } from '../../schemas/api.ts'
import type { Settings } from '../../schemas/settings.ts'
import type { Broker } from '../ports.ts'
import type { Login } from './embedded-door.ts'

/** The name that sensors sign in with at the embedded broker. */
export const sensorUser = 'sensors'

/** One login for all sensors, which may publish anything but our own topics, and read nothing (X2). */
export function loginsOf(
  password: string,
): (user: string | undefined, given: Uint8Array | undefined) => Login | null {
  const login = (name: string): Login => ({
    name,
    mayPublish: (topic) => !/^(?:\$|brumal\/(?:status|alarm)(?:\/|$))/.test(topic),
    mayRead: () => false,
  })
  const expected = Buffer.from(password)
  return (user, given) => {
    if (user === undefined) return login('anonymous')
    const isRight = given?.length === expected.length && timingSafeEqual(given, expected)
    return user === sensorUser && isRight ? login(sensorUser) : null
  }
}

/** How a sensor reaches the broker, with a line that works as it stands. An external broker's password stays unsaid. */
export function connectionTo(
  settings: Settings,
  broker: Broker & { port?(): number | null },
  ownHost: string,
  password: string,
): Connection {
  const topic = 'brumal/in/test-probe'
  const external = settings.mqtt.broker
  if (external !== undefined) {
    const url = new URL(external.url)
    const port = url.port === '' ? (url.protocol === 'mqtts:' ? 8883 : 1883) : Number(url.port)
    const line = tryLine(
      url.hostname,
      port,
      topic,
      external.user === undefined ? '' : `-u ${external.user} -P '…' `,
    )
    return {
      broker: broker.state(),
      host: url.hostname,
      port,
      user: external.user ?? null,
      password: null,
      topic,
      tryLine: line,
    }
  }
  const port = broker.port?.() ?? settings.mqtt.port
  const line = tryLine(ownHost, port, topic, `-u ${sensorUser} -P '${password}' `)
  return { broker: broker.state(), host: ownHost, port, user: sensorUser, password, topic, tryLine: line }
}

const tryLine = (host: string, port: number, topic: string, login: string): string =>
  `mosquitto_pub -h ${host} -p ${port} ${login}-q 1 -t ${topic} -m '[{"n":"temperature","u":"Cel","v":5.1}]'`
