import { connect } from 'mqtt'
import type { IClientOptions, IPublishPacket } from 'mqtt'
import { seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { OnPacket } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import { acknowledgements } from './acknowledgements.ts'
import { packetSizeGuard } from './packet-size.ts'
import type { Loss } from './sentences.ts'
import type { Unsettled } from './unsettled.ts'

const ANSWER_WITHIN: Millis = seconds(15) // name look-up, TLS and SUBACK over a poor Wi-Fi
const CLOSE_WITHIN: Millis = seconds(2) // for DISCONNECT to go out
const BRIEF: Millis = seconds(5) // a second client with our id throws us out at once
const MAX_WIRE_MIB = 16 // a camera's picture under a wide topic is let by; the parser alone would take 256
const MAX_PAYLOAD_BYTES = 64 * 1024 // the largest sensor message seen is a few kB; longer ones are cut
const MAX_UNACKNOWLEDGED_OUT = 1000 // of our own messages: one for each alarm and place
const PUBACK_WITHIN: Millis = seconds(20) // over a poor line; the packet identifier is not used again meanwhile

export interface ConnectionWorld {
  readonly options: IClientOptions
  /** None: it only publishes. */
  readonly topics: readonly string[]
  /** Left out: MQTT 3.1.1 and a session that the broker keeps. */
  readonly speaks?: 'mqtt5' | 'mqtt3'
  /** True asks for the topics even where the broker kept our session. */
  readonly subscribeAnyway: boolean
  readonly clock: Clock
  readonly unsettled: Unsettled
  readonly onPacket: OnPacket
  /** Called at most once, when the topics are subscribed; names those that were refused, and whether our session was kept. */
  readonly onUp: (refusedTopics: readonly string[], wasKept: boolean) => void
  /** Called at most once, and nothing is called after it. */
  readonly onLost: (loss: Loss) => void
}

export interface Connection {
  publish(topic: string, payload: string | Uint8Array, retain: boolean): Promise<void>
  /** True once the broker has acknowledged it. Where it refuses to or does not within a time, the connection is lost. */
  deliver(topic: string, payload: string): Promise<boolean>
  /** How many unacknowledged messages the broker allows at once (MQTT 5 §3.2.2.3.3). */
  mostInFlight(): number
  /** Sends what acknowledgements are due, says goodbye, closes. Packets that come meanwhile stay with the broker. */
  close(): Promise<void>
  /** Takes no more packets; they stay with the broker. */
  holdOff(): void
}

/**
 * One connection to a broker, from look-up to close; it never connects again by itself. A QoS 1 packet is acknowledged
 * after it is settled, without holding up the next ones. Payloads beyond 64 KiB are handed on cut to one byte more
 * than that, for the listener to refuse.
 */
export function openConnection(world: ConnectionWorld): Connection {
  const { unsettled } = world
  const client = connect({
    ...world.options,
    protocolVersion: world.speaks === 'mqtt5' ? 5 : 4,
    clean: world.speaks !== undefined,
    reconnectPeriod: 0, // waits and tries again is ours: the library's has no backoff
    resubscribe: false,
    queueQoSZero: false,
    connectTimeout: ANSWER_WITHIN * 2, // ours comes first
  })
  let isUp = false
  let isOver = false
  let hadAnswer = false
  let isHeldOff = false
  let upSince = 0
  let outgoing = 0
  let inFlight = MOST_IN_FLIGHT
  const acks = acknowledgements((bytes) => {
    if (!isOver && client.connected) client.stream.write(bytes)
  })
  const deadline = setTimeout(() => lose({ kind: 'silent' }), ANSWER_WITHIN)

  function lose(loss: Loss): void {
    if (isOver) return
    isOver = true
    clearTimeout(deadline)
    client.end(true)
    world.onLost(loss)
  }

  // In place before CONNACK: the broker pushes what it kept right behind it. The library sends PUBACK when `done` is
  // called without an error; with one it sends nothing and goes on to the next packet.
  client.handleMessage = (packet, done) => {
    if (isOver || isHeldOff) return done(NO_ACK)
    const acknowledge = packet.qos === 1 ? acks.add(packet.messageId ?? 0) : null
    const settle = unsettled.take((failure) => {
      if (failure && packet.qos > 0) {
        acks.flush()
        lose({ kind: 'notStored' })
      } else {
        acknowledge?.()
      }
      if (packet.qos === 2) done(failure ? NO_ACK : undefined) // only from a session that another program began
    })
    world.onPacket(
      { topic: packet.topic, payload: payloadOf(packet), qos: packet.qos, retained: packet.retain },
      settle,
    )
    if (packet.qos !== 2) unsettled.whenRoom(() => done(NO_ACK))
  }

  client.on('connect', ({ sessionPresent, properties }) => {
    hadAnswer = true
    inFlight = properties?.receiveMaximum ?? MOST_IN_FLIGHT
    if (world.topics.length === 0) return goUp([], sessionPresent)
    if (sessionPresent && !world.subscribeAnyway) return goUp([], true)
    client.subscribe([...world.topics], { qos: 1 }, (error, _granted, suback) => {
      const codes = suback?.granted ?? []
      if (error && codes.length === 0) {
        if (client.connected) lose({ kind: 'badTopics', error })
        return // closed meanwhile: 'close' tells
      }
      const refused = world.topics.filter((_, i) => codes[i] === SUBACK_FAILURE)
      if (refused.length === world.topics.length) lose({ kind: 'refusedTopics', topics: refused })
      else goUp(refused, sessionPresent)
    })
  })

  function goUp(refused: readonly string[], wasKept: boolean): void {
    if (isOver) return
    clearTimeout(deadline)
    isUp = true
    upSince = world.clock.uptime()
    world.onUp(refused, wasKept)
  }

  client.on('error', (error) => lose({ kind: 'error', error, hadAnswer }))
  client.on('close', () => {
    lose({ kind: 'closed', hadAnswer, wasBrief: isUp && world.clock.uptime() - upSince < BRIEF })
  })
  client.stream.on(
    'data',
    packetSizeGuard(MAX_WIRE_MIB * 1024 * 1024, () => lose({ kind: 'tooLarge', limitMiB: MAX_WIRE_MIB })),
  )

  return {
    publish(topic, payload, retain) {
      if (!isUp || isOver || outgoing >= MAX_UNACKNOWLEDGED_OUT) return Promise.resolve()
      outgoing += 1
      return new Promise((resolve) => {
        const options = { qos: 1, retain, cbStorePut: () => resolve() } as const
        client.publish(topic, Buffer.from(payload), options, () => {
          outgoing -= 1
          resolve()
        })
      })
    },
    deliver(topic, payload) {
      if (!isUp || isOver) return Promise.resolve(false)
      return new Promise((resolve) => {
        const late = setTimeout(() => {
          lose({ kind: 'unacknowledged' })
          resolve(false)
        }, PUBACK_WITHIN)
        client.publish(topic, payload, { qos: 1 }, (error) => {
          clearTimeout(late)
          if (error && !isOver && client.connected) lose({ kind: 'refusedMessage', topic, error })
          resolve(!error)
        })
      })
    },
    mostInFlight: () => inFlight,
    holdOff() {
      isHeldOff = true
    },
    async close() {
      if (isOver) return
      isHeldOff = true
      acks.flush()
      isOver = true
      clearTimeout(deadline)
      await new Promise<void>((resolve) => {
        const force = setTimeout(() => {
          client.stream.destroy()
          resolve()
        }, CLOSE_WITHIN)
        // A broker that never answered has nothing to be told, and the library would wait for it.
        client.end(!client.connected, () => {
          clearTimeout(force)
          resolve()
        })
      })
    },
  }
}

const MOST_IN_FLIGHT = 65_535 // where the broker names no number
const NO_ACK = new Error('acknowledged later, after storing')
const SUBACK_FAILURE = 0x80 // MQTT 3.1.1 §3.9.3

function payloadOf(packet: IPublishPacket): Uint8Array {
  const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload
  if (payload.length <= MAX_PAYLOAD_BYTES) return payload
  return Uint8Array.from(payload.subarray(0, MAX_PAYLOAD_BYTES + 1)) // a copy, so that the long rest is freed
}
