import type { Upstream } from '../../schemas/settings.ts'
import { later, seconds } from '../../schemas/amounts.ts'
import type { UpstreamState } from '../../schemas/upstream.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { UpstreamLink, UpstreamMessage } from '../ports/upstream.ts'
import { brokerAddress } from './address.ts'
import { backoff } from './backoff.ts'
import { badAddress, connectOptions } from './connect-options.ts'
import { type Connection, openConnection } from './connection.ts'
import { type Loss, lossSentence } from './sentences.ts'
import { unsettledPackets } from './unsettled.ts'

const FIRST_RETRY: Millis = seconds(1)
const LONGEST_RETRY: Millis = seconds(120) // nobody is in danger meanwhile, and many sites come back to one broker
const STEADY_AFTER: Millis = seconds(30) // a connection that held so long starts the waits afresh
/** Common brokers allow twenty messages on their way at once (mosquitto.conf(5), max_inflight_messages). */
const MOST_TOGETHER = 16

/**
 * The way to a broker elsewhere, to publish only: by MQTT 5, which says where a message is refused, and by 3.1.1, which
 * drops it in silence, where the broker knows no other. It keeps nothing: what was not acknowledged is the caller's.
 */
export function upstreamLink(world: {
  readonly settings: Upstream
  readonly clock: Clock
  /** From 0 (included) to 1 (left out). */
  readonly random: () => number
  readonly log: Log
  /** Reads a PEM file; throws as node:fs does. */
  readonly readFile: (path: string) => Uint8Array
}): UpstreamLink {
  const { settings, clock, log } = world
  const at = brokerAddress(settings)
  const clientId = settings.clientId ?? `brumal-${settings.site}`
  const retries = backoff(FIRST_RETRY, LONGEST_RETRY, world.random)
  const listeners: ((state: UpstreamState) => void)[] = []
  let state: UpstreamState = {
    name: 'starting',
    sentence: 'Starting.',
    since: clock.now(),
    retryAt: null,
  }
  let speaks: 'mqtt5' | 'mqtt3' = 'mqtt5'
  let connection: Connection | null = null
  let retry: NodeJS.Timeout | undefined
  let upSince: number | null = null
  let isStopping = false

  function become(name: UpstreamState['name'], sentence: string, retryAt: UpstreamState['retryAt']): void {
    state = { name, sentence, since: name === state.name ? state.since : clock.now(), retryAt }
    for (const listener of listeners) listener(state)
  }

  function attempt(): void {
    const options = at ? connectOptions(at, { settings, readFile: world.readFile }) : badAddress
    if ('kind' in options) return lost(options)
    try {
      connection = openConnection({
        options: { ...options, clientId },
        topics: [],
        speaks,
        subscribeAnyway: false,
        clock,
        unsettled: unsettledPackets(1),
        onPacket: (_packet, settle) => settle(null), // nothing was asked for
        onUp() {
          upSince = clock.uptime()
          become('up', `Connected to ${at?.shown}${at?.user === undefined ? '' : ` as ${at.user}`}.`, null)
        },
        onLost: lost,
      })
    } catch (thrown) {
      // A certificate or key that OpenSSL cannot read throws here.
      const error = thrown instanceof Error ? thrown : new Error(String(thrown))
      lost({ kind: 'error', error, hadAnswer: false })
    }
  }

  function lost(loss: Loss): void {
    connection = null
    if (isStopping) return
    if (speaks === 'mqtt5' && isOldBroker(loss)) {
      speaks = 'mqtt3'
      retry = setTimeout(attempt, 0)
      return
    }
    if (upSince !== null && clock.uptime() - upSince >= STEADY_AFTER) retries.reset()
    upSince = null
    const wait = retries.next()
    retry = setTimeout(attempt, wait)
    become('down', lossSentence(loss, at, clientId), later(clock.now(), wait))
  }

  return {
    state: () => state,
    onState: (listener) => void listeners.push(listener),
    start() {
      if (at && !at.isEncrypted && (settings.caFile ?? settings.certFile ?? settings.keyFile) !== undefined)
        log.warn(
          { url: at.shown },
          'Certificate files are set but not used: the address is not mqtts:// or wss://.',
        )
      attempt()
    },
    async send(messages: readonly UpstreamMessage[]) {
      const through = connection
      if (through === null) return false
      const together = Math.min(MOST_TOGETHER, through.mostInFlight())
      for (let i = 0; i < messages.length; i += together) {
        const some = messages.slice(i, i + together)
        const taken = await Promise.all(some.map(({ topic, payload }) => through.deliver(topic, payload)))
        if (taken.includes(false)) return false
      }
      return true
    },
    async stop() {
      if (isStopping) return
      isStopping = true
      clearTimeout(retry)
      await connection?.close()
      connection = null
    },
  }
}

/** Return code 1 is what MQTT 3.1.1 says to a version that it does not know, 132 is MQTT 5's (Table 3-1). */
function isOldBroker(loss: Loss): boolean {
  if (loss.kind !== 'error') return false
  const { code } = loss.error as { code?: unknown }
  return code === 1 || code === 132
}
