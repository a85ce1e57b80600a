import { sensorUser } from '../../schemas/access.ts'
import type { Connection } from '../../schemas/api.ts'
import { deviceTopic } from '../../schemas/own-topics.ts'
import type { Settings } from '../../schemas/settings.ts'
import type { Broker } from '../ports/broker.ts'
import { publishLine } from './device-snippets.ts'

export { sensorUser }

/**
 * How a sensor reaches the broker, with a line that works as it stands where there is a login to show: an external
 * broker's password stays unsaid, and the login that all sensors share may be closed (`password` null or empty).
 */
export function connectionTo(
  settings: Settings,
  broker: Broker & { port?(): number | null },
  ownHost: string,
  password: string | null,
): Connection {
  const topic = deviceTopic('test-probe')
  const external = settings.mqtt.broker
  if (external !== undefined) {
    const url = new URL(external.url)
    const port = url.port === '' ? (url.protocol === 'mqtts:' ? 8883 : 1883) : Number(url.port)
    const user = external.user ?? null
    const login = user === null ? null : { user, password: '…' }
    const tryLine = publishLine({ host: url.hostname, port }, login, topic)
    return { broker: broker.state(), host: url.hostname, port, user, password: null, topic, tryLine }
  }
  const at = { host: ownHost, port: broker.port?.() ?? settings.mqtt.port }
  const shared = password === null || password === '' ? null : { user: sensorUser, password }
  return {
    broker: broker.state(),
    ...at,
    user: shared?.user ?? null,
    password: shared?.password ?? null,
    topic,
    tryLine: publishLine(at, shared ?? { user: '…', password: '…' }, topic),
  }
}
