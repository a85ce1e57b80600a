import type { ExternalBroker } from '../../schemas/settings.ts'
import { later, seconds } from '../../schemas/amounts.ts'
import { type DaemonStatus, statusTopic } from '../../schemas/own-topics.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Broker, OnPacket } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import { brokerAddress } from './address.ts'
import { backoff } from './backoff.ts'
import { stateKeeper } from './broker-state.ts'
import { openConnection } from './connection.ts'
import type { Connection } from './connection.ts'
import { badAddress, connectOptions } from './connect-options.ts'
import { lossSentence } from './sentences.ts'
import type { Loss } from './sentences.ts'
import { unsettledPackets } from './unsettled.ts'

const MAX_UNSETTLED = 2000 // packets handed on and not stored; beyond it we stop reading
const FIRST_RETRY: Millis = seconds(1)
const LONGEST_RETRY: Millis = seconds(60)
const LONGEST_RESEND: Millis = seconds(10) // after a failed store: each try also brings readings to judge
const STEADY_AFTER: Millis = seconds(30) // a connection that held so long starts the waits afresh
const STOP_WITHIN: Millis = seconds(5) // for the packets in hand to be stored

export interface ExternalBrokerWorld {
  readonly settings: ExternalBroker
  readonly clock: Clock
  /** From 0 (included) to 1 (left out). */
  readonly random: () => number
  readonly log: Log
  /** Reads a PEM file; throws as node:fs does. Asked at each try, so that a renewed certificate is taken up. */
  readonly readFile: (path: string) => Uint8Array
}

/**
 * A broker that others run, over MQTT 3.1.1 with a kept session: what is sent while we are away comes when we are
 * back, and each QoS 1 message is acknowledged only after it is settled. Never gives up trying.
 *
 * Subscribes at the first connection of a run, so that changed topics take effect and retained messages come once,
 * flagged; later only where the broker forgot our session. A topic that was taken out of the settings stays in the
 * broker's session until that ends.
 *
 * Its will is `brumal/status` = `offline`, retained. A user that may only read there is no hindrance: MQTT 3.1.1 has no
 * way to refuse a message but to drop it or to close the connection, and brokers drop it.
 */
export function externalBroker(world: ExternalBrokerWorld): Broker {
  const { settings, clock, log } = world
  const at = brokerAddress(settings)
  const keeper = stateKeeper('external', clock)
  const unsettled = unsettledPackets(MAX_UNSETTLED)
  const retries = backoff(FIRST_RETRY, LONGEST_RETRY, world.random)
  const resends = backoff(FIRST_RETRY, LONGEST_RESEND, world.random)
  let connection: Connection | null = null
  let retry: NodeJS.Timeout | undefined
  let upSince: number | null = null
  let mustSubscribe = true
  let wasUp = false
  const forgottenBy: (() => void)[] = []
  let isStopping = false

  function attempt(onPacket: OnPacket): void {
    const options = at ? connectOptions(at, { settings, readFile: world.readFile }) : badAddress
    if ('kind' in options) return lost(options, onPacket)
    try {
      connection = openConnection({
        options: { ...options, clientId: settings.clientId, will },
        topics: settings.topics,
        subscribeAnyway: mustSubscribe,
        clock,
        unsettled,
        onPacket,
        onUp,
        onLost: (loss) => lost(loss, onPacket),
      })
    } catch (thrown) {
      // A certificate or key that OpenSSL cannot read throws here.
      const error = thrown instanceof Error ? thrown : new Error(String(thrown))
      lost({ kind: 'error', error, hadAnswer: false }, onPacket)
    }
  }

  function onUp(refusedTopics: readonly string[], wasKept: boolean): void {
    // The first connection of a run may be the first of all.
    if (wasUp && !wasKept) for (const listener of forgottenBy) listener()
    wasUp = true
    upSince = clock.uptime()
    mustSubscribe = refusedTopics.length > 0
    const as = at?.user === undefined ? '' : ` as ${at.user}`
    const but = refusedTopics.length > 0 ? `; it refuses ${refusedTopics.join(', ')}` : ''
    if (but) log.warn({ refusedTopics }, 'The broker refused some of the subscriptions.')
    keeper.set('up', `Connected to ${at?.shown}${as}${but}.`)
  }

  function lost(loss: Loss, onPacket: OnPacket): void {
    connection = null
    if (isStopping) return
    if (upSince !== null && clock.uptime() - upSince >= STEADY_AFTER) {
      retries.reset()
      resends.reset()
    }
    upSince = null
    const wait = (loss.kind === 'notStored' ? resends : retries).next()
    retry = setTimeout(() => attempt(onPacket), wait)
    keeper.set('down', lossSentence(loss, at, settings.clientId), later(clock.now(), wait))
  }

  return {
    state: keeper.state,
    onState: keeper.onState,
    onForgotten: (listener) => void forgottenBy.push(listener),
    start(onPacket) {
      if (at && !at.isEncrypted && (settings.caFile ?? settings.certFile ?? settings.keyFile) !== undefined) {
        log.warn(
          { url: at.shown },
          'Certificate files are set but not used: the address is not mqtts:// or wss://.',
        )
      }
      attempt(onPacket)
    },
    publish: (topic, payload, { retain }) => connection?.publish(topic, payload, retain) ?? Promise.resolve(),
    async stop() {
      if (isStopping) return
      isStopping = true
      clearTimeout(retry)
      connection?.holdOff()
      await unsettled.drained(STOP_WITHIN)
      await connection?.close()
      connection = null
      keeper.set('down', 'Stopped.')
    },
  }
}

/** What the broker tells lamps when we vanish without a goodbye (N1). */
const will = {
  topic: statusTopic,
  payload: Buffer.from('offline' satisfies DaemonStatus),
  qos: 1,
  retain: true,
} as const
