import { createServer } from 'node:net'
import type { AddressInfo, Server, Socket } from 'node:net'
import { Aedes } from 'aedes'
import type { Client } from 'aedes'
import { later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Broker, OnPacket } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import { backoff } from './backoff.ts'
import { stateKeeper } from './broker-state.ts'
import { embeddedDoor, longestUser } from './embedded-door.ts'
import type { CheckLogin } from './embedded-door.ts'
import { packetSizeGuard } from './packet-size.ts'
import { warnSeldom } from './seldom.ts'
import { listenSentence } from './sentences.ts'
import { unsettledPackets } from './unsettled.ts'

const MAX_CONNECTIONS = 200 // a house has tens of sensors; each connection costs some tens of kB
const MAX_CLIENT_ID = 64 // characters; makers' ids are a name and a MAC address
const MAX_PAYLOAD_BYTES = 64 * 1024 // the largest sensor message seen is a few kB
const MAX_PACKET_BYTES = MAX_PAYLOAD_BYTES + 1024 // and its topic
const MAX_TOPIC_LEVELS = 16 // real ones have up to 8; each level costs matching time
const MAX_EARLY_PACKETS = 42 // packets that a client may send before its CONNACK
const MAX_UNSETTLED = 5000 // packets handed on and not stored: about 10 MB; beyond it clients wait
const CONNECT_WITHIN: Millis = seconds(10) // from the connection to CONNECT
const DRAIN_WITHIN: Millis = seconds(10) // a reader that takes nothing for so long is cut off
const IDLE_AFTER: Millis = minutes(60) // for clients that set no keepalive: silent ones make room
const TCP_KEEPALIVE_AFTER: Millis = minutes(1) // finds peers that lost their power
const FIRST_RETRY: Millis = seconds(1)
const LONGEST_RETRY: Millis = seconds(30) // the port is on this machine: asking costs nothing
const STOP_WITHIN: Millis = seconds(5) // for the packets in hand to be stored
// aedes uses its heartbeat for clusters only, and takes a broker whose heartbeat looks old for dead: a jump of this
// machine's clock would publish the wills of living clients. It multiplies by 4 for a timer of at most 2^31 ms.
const NO_HEARTBEAT: Millis = minutes(6 * 24 * 60)

export interface EmbeddedBrokerWorld {
  readonly host: string
  /** 0 takes any free one. */
  readonly port: number
  /** Asked for each client that gives a name, and for nameless ones when `anonymous`. Null refuses. */
  readonly checkLogin: CheckLogin
  readonly anonymous: boolean
  readonly clock: Clock
  /** From 0 (included) to 1 (left out). */
  readonly random: () => number
  readonly log: Log
}

/**
 * A broker inside the daemon (MQTT 3.1.1 over TCP), for a house that has none. A device's QoS 1 or 2 message is
 * acknowledged only after it is settled; when it cannot be stored the device's connection is closed, so that it sends
 * again. Nothing in this broker survives a restart: retained messages, sessions and wills are in memory, and sessions
 * are never kept for a client that is away. A message that a device publishes with the retain flag is a live one.
 *
 * There is no will of ours here: whoever publishes `brumal/status` is this process, and when it is killed the connection
 * ends and nothing more is said. A lamp must treat a lost connection as it treats `offline`: as loud.
 */
export function embeddedBroker(world: EmbeddedBrokerWorld): Broker & {
  /** The port that is listened on, or null while it is not. */
  port(): number | null
} {
  const { host, clock, log } = world
  const keeper = stateKeeper('embedded', clock)
  const unsettled = unsettledPackets(MAX_UNSETTLED)
  const retries = backoff(FIRST_RETRY, LONGEST_RETRY, world.random)
  const warn = warnSeldom(log, clock)
  const sockets = new Set<Socket>()
  let aedes: Aedes | null = null
  let server: Server | null = null
  let retry: NodeJS.Timeout | undefined
  let isStopping = false

  async function open(onPacket: OnPacket): Promise<void> {
    const { door, onPing } = embeddedDoor({
      ...world,
      onPacket,
      unsettled,
      warn,
      isClosed: () => isStopping,
      maxPayloadBytes: MAX_PAYLOAD_BYTES,
      maxClientId: MAX_CLIENT_ID,
    })
    const opened = await Aedes.createBroker({
      ...door,
      maxClientsIdLength: MAX_CLIENT_ID + longestUser + 1,
      maxTopicLevels: MAX_TOPIC_LEVELS,
      queueLimit: MAX_EARLY_PACKETS,
      connectTimeout: CONNECT_WITHIN,
      drainTimeout: DRAIN_WITHIN,
      heartbeatInterval: NO_HEARTBEAT,
    })
    opened.on('ping', (_packet, client) => onPing(client))
    opened.on('clientError', (client, error) => tellOfClosing(client, error))
    opened.on('connectionError', (client, error) => tellOfClosing(client, error))
    if (isStopping) return opened.close()
    aedes = opened
    listen(opened)
  }

  function tellOfClosing(client: Client, error: Error): void {
    const address = (client.conn as Socket).remoteAddress ?? 'a closed connection'
    const who = client.id || address
    warn(`${who} ${error.message}`, { client: client.id, address }, `Disconnected ${who}: ${error.message}.`)
  }

  function listen(broker: Aedes): void {
    const attempt = createServer({
      keepAlive: true,
      keepAliveInitialDelay: TCP_KEEPALIVE_AFTER,
      noDelay: true,
    })
    attempt.maxConnections = MAX_CONNECTIONS
    attempt.on('connection', (socket) => {
      sockets.add(socket)
      socket.on('close', () => sockets.delete(socket))
      socket.setTimeout(IDLE_AFTER, () => socket.destroy())
      broker.handle(socket)
      // aedes reads on 'readable'; 'data' then comes from within its read(), before it parses.
      socket.on(
        'data',
        packetSizeGuard(MAX_PACKET_BYTES, () => {
          socket.destroy(new Error(`it sent a packet of more than ${MAX_PACKET_BYTES} bytes`))
        }),
      )
    })
    attempt.on('drop', () => {
      warn('full', { limit: MAX_CONNECTIONS }, 'Refused an MQTT connection: as many as allowed are open.')
    })
    attempt.on('error', (error) => {
      if (attempt.listening) {
        warn('accept', { error: error.message }, 'Could not take an MQTT connection.')
        return
      }
      if (isStopping) return
      const wait = retries.next()
      retry = setTimeout(() => listen(broker), wait)
      keeper.set('down', listenSentence(error, host, world.port), later(clock.now(), wait))
    })
    attempt.listen({ host, port: world.port }, () => {
      if (isStopping) return attempt.close()
      server = attempt
      retries.reset()
      keeper.set('up', `Listening on ${host}:${portOf(attempt)}.`)
    })
  }

  return {
    state: keeper.state,
    onState: keeper.onState,
    onForgotten() {}, // it lives and dies with us: what devices send waits with them
    port: () => (server?.listening ? portOf(server) : null),
    start: (onPacket) => void open(onPacket),
    publish(topic, payload, { retain }) {
      const broker = aedes
      if (!broker || isStopping) return Promise.resolve()
      return new Promise((resolve, reject) => {
        const packet = {
          cmd: 'publish',
          topic,
          payload: Buffer.from(payload),
          qos: 1,
          dup: false,
          retain,
        } as const
        broker.publish(packet, (error) => {
          if (error) reject(new Error(`publishing to ${topic} failed`, { cause: error }))
          else resolve()
        })
      })
    },
    async stop() {
      if (isStopping) return
      isStopping = true
      clearTimeout(retry)
      const closed = server ? new Promise((resolve) => server?.close(resolve)) : Promise.resolve()
      await unsettled.drained(STOP_WITHIN)
      await new Promise((resolve) => setImmediate(resolve)) // the library writes its last acknowledgements next turn
      await new Promise<void>((resolve) => (aedes ? aedes.close(resolve) : resolve()))
      for (const socket of sockets) socket.destroy()
      await closed
      keeper.set('down', 'Stopped.')
    },
  }
}

const portOf = (server: Server): number => (server.address() as AddressInfo).port
