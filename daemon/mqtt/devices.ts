import { createHash, timingSafeEqual } from 'node:crypto'
import type { Device, DeviceNow } from '../../schemas/access.ts'
import { hours } from '../../schemas/amounts.ts'
import { deviceTopic, isOurTopic, statusTopic } from '../../schemas/own-topics.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Devices, DeviceStore, StoredDevice } from '../ports/devices.ts'
import type { RandomBytes } from '../ports/seal.ts'
import { deviceSnippets } from './device-snippets.ts'
import type { CheckLogin, Login } from './embedded-door.ts'
import { sensorUser } from './sensor-login.ts'
import { matchesLevels } from './topic-filter.ts'

const PASSWORD_BYTES = 18 // 144 bits, and 24 signs without padding
const SEEN_EVERY: Millis = hours(1) // between two writes of one device: each is a commit, and wears a memory card

export interface DeviceWorld {
  readonly store: DeviceStore
  readonly sharedPassword: string
  readonly random: RandomBytes
  readonly clock: Clock
  /** Where devices reach the broker. Not asked where the house has one of its own. */
  readonly address: () => { readonly host: string; readonly port: number }
  /** False where the house has a broker of its own. */
  readonly isOurs: boolean
}

/**
 * Who may sign in at the embedded broker, and what each may do there (X2): a device by a login of its own, and every
 * sensor by the one that all may share while the keeper leaves it open. The store is read once; from then on it is
 * changed through here only.
 */
export function deviceLogins(world: DeviceWorld): {
  readonly devices: Devices
  readonly checkLogin: CheckLogin
} {
  const { store, random, clock, isOurs } = world
  const known = new Map(store.devices().map((device) => [device.name, taken(device)]))
  let isSharedOpen = store.isSharedLoginOpen()
  const shared = digestOf(Buffer.from(world.sharedPassword))
  const nobodys = digestOf(random(PASSWORD_BYTES))

  /** The sensor whose own topic this is. Nobody else publishes there, whatever extra topics it was given. */
  const ownerOf = (topic: string): Known | null => {
    const name = topic.startsWith(IN) ? (topic.slice(IN.length).split('/', 1)[0] ?? '') : ''
    const one = known.get(name)
    return one?.device.kind === 'sensor' ? one : null
  }

  function isOf(one: Known, topic: string): boolean {
    const owner = ownerOf(topic)
    return owner === null ? takesIn(one, topic.split('/')) : owner === one
  }

  function isAnybodys(topic: string): boolean {
    if (ownerOf(topic) !== null) return true
    const levels = topic.split('/')
    for (const one of known.values()) if (takesIn(one, levels)) return true
    return false
  }

  function ownLogin(one: Known): Login {
    const { name, kind } = one.device
    const isGood = (): boolean => known.get(name) === one
    return {
      name,
      isGood,
      seen() {
        if (isGood()) noteSeen(one)
      },
      mayPublish: (topic) => isGood() && !isOurTopic(topic) && isOf(one, topic),
      mayRead: (filter) => isGood() && kind === 'signal' && isForLamps(filter),
    }
  }

  function noteSeen(one: Known): void {
    const now = clock.now()
    one.seenAt = now
    // either way: a clock that was wrong once must not hold the date for years
    if (one.savedAt !== null && Math.abs(now - one.savedAt) < SEEN_EVERY) return
    one.savedAt = now
    try {
      store.saveDevice({ ...one.device, seenAt: now })
    } catch {
      // A full disk must not turn a sensor away (N2); the date is kept here, and written in an hour.
    }
  }

  const sharedLogin = (name: string, isGood: () => boolean): Login => ({
    name,
    isGood,
    seen: () => undefined,
    mayPublish: (topic) => isGood() && !isOurTopic(topic) && !isAnybodys(topic),
    mayRead: () => false,
  })
  const always = (): boolean => true
  const whileOpen = (): boolean => isSharedOpen

  return {
    checkLogin(user, password) {
      if (user === undefined) return sharedLogin('anonymous', always)
      const one = known.get(user)
      // A name that is unknown is compared as long as one that is known.
      const expected = user === sensorUser ? shared : (one?.digest ?? nobodys)
      if (!timingSafeEqual(digestOf(password ?? Buffer.alloc(0)), expected)) return null
      if (user === sensorUser) return isSharedOpen ? sharedLogin(sensorUser, whileOpen) : null
      return one === undefined ? null : ownLogin(one)
    },
    devices: {
      list: () => ({ devices: [...known.values()].map(shown), sharedLogin: isSharedOpen, isOurs }),
      make(device) {
        const password = Buffer.from(random(PASSWORD_BYTES)).toString('base64url')
        const made = taken({
          ...fieldsOf(device),
          createdAt: known.get(device.name)?.device.createdAt ?? clock.now(),
          seenAt: null,
          passwordHash: digestOf(Buffer.from(password)).toString('base64url'),
        })
        if (isOurs) {
          store.saveDevice(made.device)
          known.set(device.name, made)
        }
        return {
          device: shown(made),
          password,
          snippets: deviceSnippets(device, password, isOurs ? world.address() : null),
        }
      },
      remove(name) {
        if (!known.has(name)) return false
        store.removeDevice(name)
        return known.delete(name)
      },
      openSharedLogin(isOpen) {
        store.setSharedLogin(isOpen)
        isSharedOpen = isOpen
      },
    },
  }
}

const IN = deviceTopic('')
const DIGEST_BYTES = 32 // SHA-256

/** A device as its login is asked for. Making it anew makes another: logins of the one before are no longer good. */
interface Known {
  readonly device: StoredDevice
  /** Null where what is stored is no hash: nobody gets in by it. */
  readonly digest: Buffer | null
  /** The extra topics, in levels. */
  readonly filters: readonly (readonly string[])[]
  seenAt: DeviceNow['seenAt']
  /** The `seenAt` that the store has. */
  savedAt: DeviceNow['seenAt']
}

function taken(device: StoredDevice): Known {
  const { kind, topics, seenAt } = device
  const digest = Buffer.from(device.passwordHash, 'base64url')
  return {
    device,
    digest: digest.length === DIGEST_BYTES ? digest : null,
    filters: kind === 'sensor' ? topics.map((filter) => filter.split('/')) : [],
    seenAt,
    savedAt: seenAt,
  }
}

const takesIn = ({ filters }: Known, levels: readonly string[]): boolean =>
  filters.some((filter) => matchesLevels(filter, levels))

const digestOf = (password: Uint8Array): Buffer => createHash('sha256').update(password).digest()

const fieldsOf = ({ name, kind, topics }: Device): Device => ({ name, kind, topics: [...topics] })

/** Without the hash (X4). */
const shown = ({ device, seenAt }: Known): DeviceNow => ({
  ...fieldsOf(device),
  createdAt: device.createdAt,
  seenAt,
})

/** Whether a filter takes in nothing but what lamps are told. */
const isForLamps = (filter: string): boolean => filter === statusTopic || filter.startsWith('brumal/alarm/')
