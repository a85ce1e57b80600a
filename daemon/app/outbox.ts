import { days, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Channel } from '../../schemas/contact.ts'
import type { AlarmId, ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import {
  conditionOf,
  nothingTried,
  type ReachChange,
  type ReachEvent,
  stepReach,
} from '../../shared/telling/reach.ts'
import type { ChannelSecret } from '../../schemas/contact.ts'
import type { Clock, Delivery, Log, OutboxStore, Sender, Senders } from '../ports.ts'
import type { Sending, Timer } from './house.ts'

export interface Outbox extends Sending {
  start(): void
  /** Ends what is under way; it waits in the store for the next start. */
  stop(): Promise<void>
  conditionOf(channel: ChannelId): ReturnType<typeof conditionOf>
  /** Newest born first. */
  recent(limit: number): readonly Parcel[]
  /** Resolves when the first try of this parcel has ended, or the parcel itself. */
  firstTry(key: string): Promise<Parcel>
}

export interface OutboxWorld {
  readonly store: OutboxStore
  readonly senders: Senders
  readonly clock: Clock
  readonly timer: Timer
  /** From 0 (included) to 1 (left out). */
  readonly random: () => number
  readonly log: Log
  readonly channelOf: (contact: ContactId, channel: ChannelId) => Channel | null
  readonly channelsOf: (contact: ContactId) => readonly ChannelId[]
  /** The message as it would be said now; null where it is no longer true. */
  readonly refresh: (parcel: Parcel) => Message | null
  readonly on: {
    delivered(parcel: Parcel): void
    /** For good. */
    failed(parcel: Parcel): void
    gone(contact: ContactId, channel: ChannelId, sentence: string): void
    reach(change: ReachChange): void
  }
  /** How long one try may last. */
  readonly tryLasts?: Millis
}

/** A try ends after this: a phone that rings a quarter of a minute late still rings in time. A design choice. */
export const usualTry: Millis = seconds(15)
/** Tries at once over all channels: each holds a connection and up to 64 KiB. */
const mostAtOnce = 4
/** Waits between tries: 5 s, then twice as long each time, to 5 min; times 0.5 to 1 so that channels do not beat in step. */
const firstWait = 5_000
const longestWait = 300_000
/** A message older than this is said afresh before it goes out. */
const freshFor = 60_000
/** Parcels that wait in memory: twenty contacts of ten channels, twice over, and room (X3). */
const mostWaiting = 500
const keptFor: Millis = days(90)
const tidyEvery: Millis = minutes(24 * 60)

/**
 * Sends what was committed, tries again, and says what came of it. At least once, always with the same key; never two at
 * a time by one channel; what is newer about an alarm takes the place of what still waits, so that an outage ends with
 * one message and not with a burst.
 */
export function openOutbox(world: OutboxWorld): Outbox {
  const { store, senders, clock, timer, log, on } = world
  const waiting = new Map<string, Parcel>()
  /** Ended since the start, newest last: a repeat of their key changes nothing. */
  const ended = new Map<string, Parcel>()
  /** Changes that the store has not taken yet. */
  const unsaved = new Map<string, Parcel>()
  const underWay = new Map<
    ChannelId,
    { readonly key: string; readonly end: AbortController; done: Promise<void> }
  >()
  const awaited = new Map<string, ((parcel: Parcel) => void)[]>()
  let reach = nothingTried
  let hasStarted = false
  let isStopped = false
  let wake: { cancel(): void } | null = null
  let tidy: { cancel(): void } | null = null

  function save(parcel: Parcel): void {
    unsaved.set(parcel.key, parcel)
    const had = unsaved.size
    try {
      for (const one of unsaved.values()) {
        store.save(one)
        unsaved.delete(one.key)
      }
    } catch (error) {
      // Said once per outage; the outbox goes on from memory, and saves again with the next change (N2).
      if (had === 1) log.error({ err: error }, 'What came of a message could not be stored; sending goes on.')
      for (const key of unsaved.keys()) {
        if (unsaved.size <= mostWaiting) break
        unsaved.delete(key)
      }
    }
  }

  function end(parcel: Parcel, state: 'delivered' | 'failed' | 'replaced', outcome: string): void {
    const last: Parcel = { ...parcel, state, outcome: outcome.slice(0, 300) }
    waiting.delete(parcel.key)
    ended.set(parcel.key, last)
    const [oldest] = ended.keys()
    if (ended.size > mostWaiting && oldest !== undefined) ended.delete(oldest)
    save(last)
    tell(last)
    if (state === 'delivered') on.delivered(last)
    if (state === 'failed') on.failed(last)
  }

  /** Whoever waits for the first try hears of it. */
  function tell(parcel: Parcel): void {
    for (const resolve of awaited.get(parcel.key) ?? []) resolve(parcel)
    awaited.delete(parcel.key)
  }

  function noteReach(event: Omit<ReachEvent, 'at'>): void {
    const [next, change] = stepReach(reach, { ...event, at: clock.now() }, world.channelsOf)
    reach = next
    if (change !== null) on.reach(change)
  }

  function put(parcels: readonly Parcel[]): void {
    for (const parcel of parcels) {
      if (waiting.has(parcel.key) || ended.has(parcel.key)) continue
      for (const older of waiting.values())
        if (isSameMatter(older, parcel) && underWay.get(older.channel)?.key !== older.key)
          end(older, 'replaced', 'Something newer was said instead.')
      waiting.set(parcel.key, parcel)
    }
    for (const parcel of [...waiting.values()].sort(leastWorth)) {
      if (waiting.size <= mostWaiting) break
      if (underWay.get(parcel.channel)?.key !== parcel.key)
        end(parcel, 'failed', 'Too many messages were waiting.')
    }
    pump()
  }

  function pump(): void {
    if (!hasStarted || isStopped) return
    wake?.cancel()
    wake = null
    const now = clock.now()
    for (const parcel of [...waiting.values()].sort(mostUrgent)) {
      // Something said while this round goes on may have ended it.
      if (waiting.get(parcel.key) !== parcel || underWay.get(parcel.channel)?.key === parcel.key) continue
      if (now >= parcel.expiresAt) {
        end(parcel, 'failed', parcel.outcome ?? 'It was not worth sending any more.')
        noteReach({ kind: 'ended', ...about(parcel), sentence: parcel.outcome ?? 'It came too late.' })
        continue
      }
      if (underWay.size >= mostAtOnce || underWay.has(parcel.channel) || waitOf(parcel, now) > 0) continue
      begin(parcel)
    }
    const waits = [...waiting.values()]
      .filter((parcel) => !underWay.has(parcel.channel))
      .map((parcel) => waitOf(parcel, now))
    if (waits.length > 0 && underWay.size < mostAtOnce)
      wake = timer.after(millis(Math.max(50, Math.min(...waits))), pump)
  }

  function begin(waited: Parcel): void {
    const channel = world.channelOf(waited.contact, waited.channel)
    if (channel === null) return end(waited, 'replaced', 'The channel has been removed.')
    const sender = senders[channel.kind] as Sender<Channel['kind']> | null
    if (sender === null) {
      const sentence = 'Mail cannot be sent: no mail server is set (mail.host in the settings).'
      end(waited, 'failed', sentence)
      return noteReach({ kind: 'ended', ...about(waited), sentence })
    }
    let parcel = waited
    if (parcel.tries > 0 || clock.now() - parcel.bornAt > freshFor) {
      const message = freshly(parcel)
      if (message === null) return end(parcel, 'replaced', 'It was no longer true.')
      parcel = { ...parcel, message }
      waiting.set(parcel.key, parcel)
    }
    const abort = new AbortController()
    const limit = timer.after(world.tryLasts ?? usualTry, () => abort.abort())
    const done = attempt(sender, channel, parcel, abort.signal).then((delivery) => {
      limit.cancel()
      underWay.delete(parcel.channel)
      if (isStopped && delivery.outcome !== 'delivered') return
      finish(parcel, delivery)
      pump()
    })
    underWay.set(parcel.channel, { key: parcel.key, end: abort, done })
  }

  function freshly(parcel: Parcel): Message | null {
    try {
      return world.refresh(parcel)
    } catch (error) {
      log.error({ err: error }, 'A message could not be put into new words; it goes out in its old ones.')
      return parcel.message
    }
  }

  async function attempt(
    sender: Sender<Channel['kind']>,
    channel: Channel,
    parcel: Parcel,
    signal: AbortSignal,
  ): Promise<Delivery> {
    try {
      return await sender.send(channel, secretOf(channel.id), parcel, signal)
    } catch (error) {
      // A sender that throws has a fault; the message must not be lost with it.
      log.error(
        { err: error, channel: channel.id },
        'A channel failed in an unforeseen way; it is tried again.',
      )
      return { outcome: 'later', retryAfter: null, sentence: 'The channel failed in an unforeseen way.' }
    }
  }

  function secretOf(channel: ChannelId): ChannelSecret | null {
    return store.channelSecret(channel)
  }

  function finish(parcel: Parcel, delivery: Delivery): void {
    const { sentence } = delivery
    if (delivery.outcome === 'delivered') {
      end(parcel, 'delivered', sentence)
      return noteReach({ kind: 'delivered', ...about(parcel), sentence })
    }
    if (delivery.outcome === 'refused') {
      end(parcel, 'failed', sentence)
      return noteReach({ kind: 'ended', ...about(parcel), sentence })
    }
    if (delivery.outcome === 'gone') {
      end(parcel, 'failed', sentence)
      noteReach({ kind: 'gone', ...about(parcel), sentence })
      return on.gone(parcel.contact, parcel.channel, sentence)
    }
    const tries = parcel.tries + 1
    const wait = Math.min(longestWait, firstWait * 2 ** (tries - 1)) * (0.5 + world.random() / 2)
    const now = clock.now()
    const next: Parcel = {
      ...parcel,
      tries,
      outcome: sentence.slice(0, 300),
      dueAt: later(
        now,
        Math.round(Math.max(wait, (delivery.outcome === 'later' ? delivery.retryAfter : null) ?? 0)),
      ),
    }
    // Answered, replaced or removed meanwhile: nothing is left to try again.
    if (!waiting.has(parcel.key)) return
    const newer = [...waiting.values()].find((one) => one.key !== parcel.key && isSameMatter(parcel, one))
    if (newer !== undefined) {
      waiting.set(next.key, next)
      end(next, 'replaced', 'Something newer was said instead.')
    } else {
      waiting.set(next.key, next)
      save(next)
      tell(next)
    }
    noteReach({ kind: 'failed', ...about(parcel), sentence })
  }

  return {
    put,
    settle(alarm: AlarmId, outcome: string) {
      for (const parcel of waiting.values())
        if (
          parcel.alarm === alarm &&
          rings.has(parcel.kind) &&
          underWay.get(parcel.channel)?.key !== parcel.key
        )
          end(parcel, 'replaced', outcome)
    },
    start() {
      for (const parcel of store.waiting()) if (!ended.has(parcel.key)) waiting.set(parcel.key, parcel)
      hasStarted = true
      const tidyUp = () => {
        try {
          store.forgetEnded(later(clock.now(), -keptFor))
        } catch (error) {
          log.warn({ err: error }, 'Old messages could not be removed; it is tried again tomorrow.')
        }
        tidy = timer.after(tidyEvery, tidyUp)
      }
      tidyUp()
      pump()
    },
    async stop() {
      isStopped = true
      wake?.cancel()
      tidy?.cancel()
      const all = [...underWay.values()]
      for (const one of all) one.end.abort()
      await Promise.all(all.map((one) => one.done))
    },
    conditionOf: (channel) => conditionOf(reach, channel),
    recent(limit) {
      const kept = new Map(store.recent(limit).map((parcel) => [parcel.key, parcel]))
      for (const parcel of [...unsaved.values(), ...waiting.values()]) kept.set(parcel.key, parcel)
      return [...kept.values()].sort((one, other) => other.bornAt - one.bornAt).slice(0, limit)
    },
    firstTry(key) {
      const known = waiting.get(key)
      const last = ended.get(key)
      if (last !== undefined) return Promise.resolve(last)
      if (known !== undefined && known.tries > 0) return Promise.resolve(known)
      return new Promise((resolve) => awaited.set(key, [...(awaited.get(key) ?? []), resolve]))
    },
  }
}

const rings: ReadonlySet<Parcel['kind']> = new Set(['raised', 'again', 'chattering'])

const about = ({ contact, channel }: Parcel) => ({ contact, channel })

/** The newer takes the older's place: about the same alarm, or of the same kind where it is about none. */
const isSameMatter = (older: Parcel, newer: Parcel): boolean =>
  older.channel === newer.channel &&
  older.alarm === newer.alarm &&
  (older.alarm !== null || older.kind === newer.kind)

/** A clock that was set back must not hold a message up for hours: no wait is longer than the longest that was given. */
function waitOf(parcel: Parcel, now: Instant): number {
  const wait = parcel.dueAt - now
  const longest = parcel.expiresAt - parcel.bornAt
  return wait > longest ? 0 : Math.max(0, wait)
}

const rank = { high: 0, medium: 1, low: 2 } as const

const mostUrgent = (one: Parcel, other: Parcel): number =>
  rank[one.message.priority] - rank[other.message.priority] || one.bornAt - other.bornAt

const leastWorth = (one: Parcel, other: Parcel): number =>
  rank[other.message.priority] - rank[one.message.priority] || one.bornAt - other.bornAt
