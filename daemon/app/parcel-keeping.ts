import { days, later, millis, seconds } from '../../schemas/amounts.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { OutboxStore } from '../ports/outbox.ts'

/** A disk that refused is asked again after this: often enough to lose little, seldom enough for one that hangs. */
const saveAgainAfter: Millis = seconds(5)
/**
 * Each is a transaction of its own, up to 50 ms on a memory card: after an outage the watch has its turn between goes.
 */
const mostAtAGo = 10
const breather: Millis = millis(10)
/** Changes kept in memory while the store fails: twice what may wait; each some 3 KiB (X3). */
const mostUnsaved = 1000
/**
 * Keys of messages that have ended, some 2 MB. While the store fails the house hands over everything again each second:
 * forgetting one of those would send it again. Ten channels that ring all day make 1,100 a day (X3).
 */
const mostKnown = 20_000
/** Ended messages are kept for three months of looking back. A design choice. */
const keptFor: Millis = days(90)
const tidyEvery: Millis = days(1)

export interface ParcelKeeping {
  save(parcel: Parcel): void
  /** Whether this parcel has ended. */
  hasEnded(key: string): boolean
  /** Newest born first: as stored, and over it what is newer. */
  recent(limit: number, waiting: readonly Parcel[]): readonly Parcel[]
  /** Removes what ended long ago, now and once a day. */
  tidy(): void
  /** One last try to save what is left. */
  close(): void
}

/** Saves what becomes of parcels. While the store fails they are kept in memory and saved when it works again (N2). */
export function keepParcels(world: {
  readonly store: OutboxStore
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
}): ParcelKeeping {
  const { store, clock, timer, log } = world
  const unsaved = new Map<string, Parcel>()
  const ended = new Set<string>()
  /** The next go at saving, where one is to come. */
  let again: { cancel(): void } | null = null
  let isFailing = false
  let tidying: { cancel(): void } | null = null

  /** Saves what it can, `atMost` at a go. */
  function save(atMost: number): void {
    again?.cancel()
    again = null
    let count = 0
    for (const parcel of unsaved.values()) {
      if (count === atMost) {
        again = timer.after(breather, () => save(atMost))
        return
      }
      count += 1
      unsaved.delete(parcel.key)
      try {
        store.save(parcel)
      } catch (cause) {
        // Put back as the last: one that can never be saved must not keep the others from it.
        unsaved.set(parcel.key, parcel)
        if (!isFailing)
          log.error({ err: cause }, 'What became of a message cannot be stored; sending goes on from memory.')
        isFailing = true
        again = timer.after(saveAgainAfter, () => save(atMost))
        return
      }
    }
    if (isFailing) log.info({}, 'What became of messages is stored again.')
    isFailing = false
  }

  function tidy(): void {
    try {
      store.forgetEnded(later(clock.now(), -keptFor))
    } catch (cause) {
      log.warn({ err: cause }, 'Old messages cannot be removed from the store; it is tried again tomorrow.')
    }
    tidying = timer.after(tidyEvery, tidy)
  }

  return {
    save(parcel) {
      if (parcel.state !== 'waiting') remember(ended, parcel.key)
      unsaved.delete(parcel.key)
      unsaved.set(parcel.key, parcel)
      const [oldest] = unsaved.keys()
      if (unsaved.size > mostUnsaved && oldest !== undefined) unsaved.delete(oldest)
      if (again === null) save(mostAtAGo)
    },
    hasEnded: (key) => ended.has(key),
    recent(limit, waiting) {
      const all = new Map(storedRecent(limit).map((parcel) => [parcel.key, parcel]))
      for (const parcel of [...waiting, ...unsaved.values()]) all.set(parcel.key, parcel)
      return [...all.values()].sort((one, other) => other.bornAt - one.bornAt).slice(0, limit)
    },
    tidy,
    close() {
      tidying?.cancel()
      save(mostUnsaved)
      again?.cancel()
    },
  }

  function storedRecent(limit: number): readonly Parcel[] {
    try {
      return store.recent(limit)
    } catch (cause) {
      log.warn({ err: cause }, 'Messages cannot be read from the store; those in memory are shown.')
      return []
    }
  }
}

function remember(keys: Set<string>, key: string): void {
  keys.add(key)
  const [oldest] = keys
  if (keys.size > mostKnown && oldest !== undefined) keys.delete(oldest)
}
