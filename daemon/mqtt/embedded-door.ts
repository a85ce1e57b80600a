import type { AedesOptions, AuthenticateError, Client, PublishPacket } from 'aedes'
import { seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { OnPacket } from '../ports/broker.ts'
import type { Unsettled } from './unsettled.ts'

const REFUSE_AFTER: Millis = seconds(1) // a wrong password waits, so that a connection tries one a second at most
export const longestUser = 64 // characters; a device's name has at most 39
const MAX_FILTERS = 50 // subscriptions of one client
const MAX_RETAINED = 500 // topics whose last message is kept: at most 32 MB

/** Who a client is and what it may do. Asked anew for each message, so that it may change while connected. */
export interface Login {
  readonly name: string
  /** False once it was ended or given a new password: the next message from or for such a client closes its connection. */
  isGood(): boolean
  /** Told of each sign of life: the sign-in, a message, a ping. */
  seen(): void
  mayPublish(topic: string): boolean
  /** A topic filter as subscribed to: it may hold + and #. */
  mayRead(filter: string): boolean
}

/** Null refuses. `user` is undefined for a nameless client, which gets this far only where those are allowed. */
export type CheckLogin = (user: string | undefined, password: Uint8Array | undefined) => Login | null

interface DoorWorld {
  readonly checkLogin: CheckLogin
  readonly anonymous: boolean
  readonly onPacket: OnPacket
  readonly unsettled: Unsettled
  readonly warn: (cause: string, about: object, sentence: string) => void
  readonly isClosed: () => boolean
  readonly maxPayloadBytes: number
  readonly maxClientId: number
}

type Door = Required<
  Pick<
    AedesOptions,
    'preConnect' | 'authenticate' | 'authorizePublish' | 'authorizeSubscribe' | 'authorizeForward'
  >
>

/** Decides who comes in, what each may publish and read (X2), and when a message is acknowledged. */
export function embeddedDoor(world: DoorWorld): {
  readonly door: Door
  /** To be called for each ping of a client. */
  readonly onPing: (client: Client) => void
} {
  const guests = new WeakMap<Client, { readonly login: Login; readonly filters: Set<string> }>()
  const retained = new Set<string>()
  const { unsettled, warn } = world

  const mayRetain = (packet: PublishPacket): boolean => {
    if (packet.payload.length === 0) {
      retained.delete(packet.topic) // MQTT 3.1.1 [MQTT-3.3.1-10]: an empty one removes what was kept
      return true
    }
    if (!retained.has(packet.topic) && retained.size >= MAX_RETAINED) return false
    retained.add(packet.topic)
    return true
  }

  const door: Door = {
    /** No session outlives its connection: the queue of a client that never returns would grow for ever (X3). */
    preConnect(_client, packet, callback) {
      packet.clean = true
      // A client id belongs to its login: taking over another's would throw that device out (MQTT-3.1.4-2).
      if (packet.clientId !== '' && isShort(packet.username))
        packet.clientId = `${packet.username}/${packet.clientId}`
      callback(null, true)
    },

    authenticate(client, user, password, callback) {
      const refuse = (code: number, why: string): void => {
        warn(
          `${user} ${why}`,
          { user, client: client.id.slice(0, world.maxClientId) },
          `Refused a device: ${why}.`,
        )
        setTimeout(() => callback(refusal(code, why), null), REFUSE_AFTER).unref()
      }
      if (world.isClosed()) return refuse(SERVER_UNAVAILABLE, 'the broker is stopping')
      const ownId = isShort(user) ? client.id.length - user.length - 1 : client.id.length
      if (ownId > world.maxClientId) return refuse(BAD_CLIENT_ID, 'its client id is too long')
      if (user === undefined && !world.anonymous)
        return refuse(NOT_AUTHORIZED, 'it gave no name and password')
      const login = world.checkLogin(user, password)
      if (!login) return refuse(BAD_LOGIN, 'its name or password is wrong')
      guests.set(client, { login, filters: new Set() })
      login.seen()
      callback(null, true)
    },

    authorizePublish(client, packet, callback) {
      const login = client && guests.get(client)?.login
      // Left unanswered: an error would close the connection now, before what is in hand is acknowledged on it.
      if (world.isClosed()) return
      if (login?.isGood() === false) return callback(new Error(LOGIN_ENDED))
      login?.seen()
      if (!login || !isOpenTopic(packet.topic) || !login.mayPublish(packet.topic)) {
        const who = login?.name ?? 'nobody'
        warn(
          `${who} topic`,
          { login: who, topic: packet.topic },
          `Dropped a message of ${who}: not its topic.`,
        )
        discard(packet)
        return callback(null)
      }
      const { topic, qos } = packet
      const payload = typeof packet.payload === 'string' ? Buffer.from(packet.payload) : packet.payload
      if (payload.length > world.maxPayloadBytes) {
        return callback(new Error(`it sent a payload of more than ${world.maxPayloadBytes} bytes`))
      }
      if (packet.retain && !mayRetain(packet)) {
        warn('retained', { topic }, 'Passed a message on without keeping it: too many retained topics.')
        packet.retain = false
      }

      const mayGoOn = qos === 0 && !unsettled.isFull()
      const settle = unsettled.take((failure) => {
        // Closing does not bring a QoS 0 message back.
        if (!mayGoOn) callback(qos === 0 ? null : failure)
      })
      world.onPacket({ topic, payload, qos, retained: false, client: client.id }, settle)
      if (mayGoOn) callback(null)
    },

    authorizeSubscribe(client, subscription, callback) {
      const guest = guests.get(client)
      const { topic } = subscription
      const isAllowed =
        guest !== undefined &&
        isOpenTopic(topic) &&
        guest.login.mayRead(topic) &&
        (guest.filters.has(topic) || guest.filters.size < MAX_FILTERS)
      if (isAllowed) guest.filters.add(topic)
      callback(null, isAllowed ? subscription : null)
    },

    authorizeForward(client, packet) {
      if (guests.get(client)?.login.isGood()) return packet
      // next turn: the library is going through its readers now
      setImmediate(() => client.emit('error', new Error(LOGIN_ENDED)))
      return null
    },
  }
  return { door, onPing: (client) => guests.get(client)?.login.seen() }
}

const LOGIN_ENDED = 'its login has ended'

/** Topics that begin with $ are the broker's own (MQTT 3.1.1 §4.7.2). */
const isOpenTopic = (topic: string): boolean => !topic.startsWith('$')

/**
 * Lets the library acknowledge a message and pass it to nobody. The other answer that MQTT 3.1.1 [MQTT-3.3.5-2]
 * allows, closing, would silence a sensor for one stray topic of its firmware.
 */
function discard(packet: PublishPacket): void {
  packet.topic = '$SYS/discarded'
  packet.payload = Buffer.alloc(0)
  packet.retain = false
}

// MQTT 3.1.1 Table 3.1, CONNACK return codes
const BAD_CLIENT_ID = 2
const SERVER_UNAVAILABLE = 3
const BAD_LOGIN = 4
const NOT_AUTHORIZED = 5

const refusal = (returnCode: number, why: string): AuthenticateError =>
  Object.assign(new Error(why), { returnCode: returnCode })

/** Longer names are nobody's. */
const isShort = (user: string | undefined): user is string => user !== undefined && user.length <= longestUser
