import { isIPv6 } from 'node:net'
import type { Clock } from '../../ports/clock.ts'

/**
 * Wrong tries slow a guesser down and never shut anyone out: the wait doubles from 1 s to a cap and is forgotten after
 * 15 min without a wrong try. Each of the two lists keeps its 1000 newest entries (about 200 kB).
 */
export const tryBounds = {
  freeForAddress: 10,
  longestForAddressMs: 60_000,
  freeForName: 5,
  longestForNameMs: 30_000,
  firstWaitMs: 1000,
  forgetAfterMs: 900_000,
  entries: 1000,
} as const

/** `waitMs`: zero lets the try through; `wrongTries` of this address so far, this one included. */
interface Admission {
  readonly waitMs: number
  readonly wrongTries: number
}

export interface TryLimit {
  /** Counts the try as wrong before it is checked, so that a thousand at once do not all slip past. */
  admit(address: string, name: string | null): Admission
  /**
   * The try was right: it counts no longer, and what was tried at its name before is forgotten. Other wrong tries of
   * the address stay: else whoever has a sign-in of their own could guess at another's between two of theirs.
   */
  succeeded(address: string, name: string | null): void
}

/**
 * A name under attack is slowed only for addresses that have failed themselves: the keeper's phone, which has not, gets
 * in at once however hard someone else hammers at the keeper's name.
 */
export function tryLimit(clock: Clock): TryLimit {
  const addresses = tally(clock, tryBounds.freeForAddress, tryBounds.longestForAddressMs)
  const names = tally(clock, tryBounds.freeForName, tryBounds.longestForNameMs)

  return {
    admit(from, name) {
      const address = networkOf(from)
      const ownWait = addresses.waitMs(address)
      const nameWait = name !== null && addresses.count(address) > 0 ? names.waitMs(keyOf(name)) : 0
      const waitMs = Math.max(ownWait, nameWait)
      if (waitMs > 0) return { waitMs, wrongTries: addresses.count(address) }
      addresses.add(address)
      if (name !== null) names.add(keyOf(name))
      return { waitMs: 0, wrongTries: addresses.count(address) }
    },
    succeeded(from, name) {
      addresses.takeBack(networkOf(from))
      if (name !== null) names.forget(keyOf(name))
    },
  }
}

/** Names are the same whatever their case and spacing. */
export const keyOf = (name: string): string => name.normalize('NFKC').trim().toLowerCase()

/** IPv4 as it is; of IPv6 the /64, all of which one host may use (RFC 4291 §2.5.1). */
export function networkOf(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)
  if (mapped?.[1]) return mapped[1]
  const plain = address.split('%', 1)[0] ?? ''
  if (!isIPv6(plain)) return address
  const [head = '', tail] = plain.split('::')
  const left = head === '' ? [] : head.split(':')
  const right = tail === undefined || tail === '' ? [] : tail.split(':')
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - left.length - right.length)
  const groups = [...left, ...Array<string>(zeros).fill('0'), ...right]
  return `${groups
    .slice(0, 4)
    .map((group) => Number.parseInt(group, 16).toString(16))
    .join(':')}::/64`
}

function tally(clock: Clock, free: number, longestMs: number) {
  const entries = new Map<string, { wrong: number; at: number }>() // oldest wrong try first
  const find = (key: string) => {
    const entry = entries.get(key)
    return entry && clock.uptime() - entry.at < tryBounds.forgetAfterMs ? entry : null
  }

  return {
    count: (key: string): number => find(key)?.wrong ?? 0,
    waitMs(key: string): number {
      const entry = find(key)
      if (entry === null || entry.wrong < free) return 0
      const wait = Math.min(longestMs, tryBounds.firstWaitMs * 2 ** (entry.wrong - free))
      return Math.max(0, entry.at + wait - clock.uptime())
    },
    add(key: string): void {
      const wrong = (find(key)?.wrong ?? 0) + 1
      entries.delete(key)
      entries.set(key, { wrong, at: clock.uptime() })
      const [oldest] = entries.keys()
      if (entries.size > tryBounds.entries && oldest !== undefined) entries.delete(oldest)
    },
    takeBack(key: string): void {
      const entry = entries.get(key)
      if (entry === undefined) return
      if (entry.wrong <= 1) entries.delete(key)
      else entries.set(key, { ...entry, wrong: entry.wrong - 1 })
    },
    forget: (key: string): void => void entries.delete(key),
  }
}
