import { readFileSync } from 'node:fs'
import type { Settings } from '../../schemas/settings.ts'
import { embeddedBroker } from '../mqtt/embedded.ts'
import type { CheckLogin } from '../mqtt/embedded-door.ts'
import { externalBroker } from '../mqtt/external.ts'
import type { Broker } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'

/** The broker that the settings ask for. */
export function openBroker(
  settings: Settings,
  checkLogin: CheckLogin,
  clock: Clock,
  log: Log,
): Broker & { port?(): number | null } {
  const external = settings.mqtt.broker
  if (external !== undefined)
    return externalBroker({
      settings: external,
      clock,
      random: Math.random,
      log,
      readFile: (path) => readFileSync(path),
    })
  const { host, port, anonymous } = settings.mqtt
  return embeddedBroker({
    host,
    port,
    anonymous,
    checkLogin,
    clock,
    random: Math.random,
    log,
  })
}

/**
 * Practice devices publish to the broker inside, whatever the house uses: their past must not go out into it, and nothing
 * invented goes on to a broker elsewhere.
 */
export function forPractice(settings: Settings): Settings {
  const { upstream: _, ...inside } = settings
  const { broker, ...mqtt } = settings.mqtt
  return { ...inside, mqtt: { ...mqtt, port: broker === undefined ? mqtt.port : 0 } }
}
