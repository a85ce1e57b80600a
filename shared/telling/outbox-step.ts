import { later, millis } from '../../schemas/amounts.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Moment, OutboxQueue, Pause, QueueEffect, QueueEvent, Reach, Waiting } from './outbox-queue.ts'
import { longestPause, longestWait, nextWait, pauseOf } from './retry.ts'
import { say } from '../words/say.ts'

/** Tries at once over all channels: each holds a connection and up to 64 KiB of an answer (X3). */
export const mostAtOnce = 4
/** Twenty contacts of ten channels, twice over, and room; each some 3 KiB (X3). */
export const mostWaiting = 500
/** An outcome is cut to what its schema takes. */
const longestOutcome = 300

/**
 * What waits, what is tried next and what ends. At most one try at a time by each channel; what is newer about an alarm
 * takes the place of what still waits, so that an outage ends with one message and not with a burst.
 */
export function stepQueue(
  queue: OutboxQueue,
  event: QueueEvent,
  at: Moment,
): readonly [OutboxQueue, readonly QueueEffect[]] {
  const draft: Draft = {
    waiting: new Map(queue.waiting),
    pauses: new Map(queue.pauses),
    effects: [],
    at,
  }
  take(draft, event)
  return [{ waiting: draft.waiting, pauses: draft.pauses }, draft.effects]
}

interface Draft {
  readonly waiting: Map<string, Waiting>
  readonly pauses: Map<ChannelId, Pause>
  readonly effects: QueueEffect[]
  readonly at: Moment
}

function take(draft: Draft, event: QueueEvent): void {
  switch (event.kind) {
    case 'put':
      for (const parcel of event.parcels) put(draft, parcel)
      return bound(draft)
    case 'found':
      // From the newest on, so that the newest of one matter is the one that stays.
      for (const parcel of event.parcels.toReversed()) find(draft, parcel)
      return bound(draft)
    case 'settled':
      for (const one of draft.waiting.values())
        if (one.parcel.alarm === event.alarm && rings(one.parcel)) overtake(draft, one, event.outcome)
      return
    case 'came':
      return came(draft, event)
    case 'dropped': {
      const one = draft.waiting.get(event.key)
      const { state, outcome } = event
      const reach: Reach = state === 'failed' ? { kind: 'lost', sentence: outcome } : null
      if (one !== undefined) end(draft, one.parcel, state, outcome, reach)
      return
    }
    case 'timePassed':
      expire(draft)
      return beginTries(draft)
    default:
      event satisfies never
  }
}

function put(draft: Draft, parcel: Parcel): void {
  if (draft.waiting.has(parcel.key)) return
  for (const one of draft.waiting.values()) if (isSameMatter(one.parcel, parcel)) overtake(draft, one, newer)
  add(draft, parcel)
}

function find(draft: Draft, parcel: Parcel): void {
  if (draft.waiting.has(parcel.key)) return
  const isOvertaken = [...draft.waiting.values()].some((one) => isSameMatter(one.parcel, parcel))
  if (isOvertaken) end(draft, parcel, 'replaced', newer, null)
  else add(draft, parcel)
}

function add(draft: Draft, parcel: Parcel): void {
  const { now, uptime } = draft.at
  const wait = parcel.dueAt - now
  const life = Math.min(parcel.expiresAt - now, parcel.expiresAt - parcel.bornAt)
  const one: Waiting = {
    parcel,
    // Longer than any wait that was ever given: the clock was set back since, and the wait is over.
    readyAt: millis(uptime + (wait > longestPause ? 0 : Math.max(0, wait))),
    endsAt: millis(uptime + Math.max(0, life)),
    isUnderWay: false,
    overtaken: null,
  }
  draft.waiting.set(parcel.key, one)
  const pause = draft.pauses.get(parcel.channel)
  if (pause !== undefined) postpone(draft, one, pause)
}

/** Ends it in favour of something newer; one that is under way may still arrive, but is not tried again. */
function overtake(draft: Draft, one: Waiting, why: string): void {
  if (one.isUnderWay) draft.waiting.set(one.parcel.key, { ...one, overtaken: why })
  else end(draft, one.parcel, 'replaced', why, null)
}

function postpone(draft: Draft, one: Waiting, { until, sentence }: Pause): void {
  if (one.isUnderWay || one.readyAt >= until) return
  const outcome = one.parcel.outcome ?? sentence
  const parcel = { ...one.parcel, outcome, dueAt: dueAt(draft, one, until) }
  draft.waiting.set(parcel.key, { ...one, parcel, readyAt: until })
  draft.effects.push({ kind: 'waits', parcel, reach: null })
}

function came(draft: Draft, { key, message, came, chance }: Extract<QueueEvent, { kind: 'came' }>): void {
  const one = draft.waiting.get(key)
  if (one === undefined || !one.isUnderWay) return
  const { uptime } = draft.at
  const sentence = came.sentence.slice(0, longestOutcome)
  const parcel: Parcel = { ...one.parcel, message, tries: one.parcel.tries + 1, outcome: sentence }
  switch (came.outcome) {
    case 'delivered':
      return end(draft, parcel, 'delivered', sentence, { kind: 'delivered', sentence })
    case 'gone':
      return end(draft, parcel, 'failed', sentence, { kind: 'gone', sentence })
    case 'refused':
      return end(draft, parcel, 'failed', sentence, { kind: 'lost', sentence })
    case 'later': {
      const pause = pauseOf(came.retryAfter)
      const isOver = uptime >= one.endsAt
      const reach: Reach = { kind: isOver || pause > longestWait ? 'lost' : 'failed', sentence }
      if (one.overtaken !== null) end(draft, parcel, 'replaced', one.overtaken, reach)
      else if (isOver) end(draft, parcel, 'failed', sentence, reach)
      else {
        const readyAt = millis(uptime + Math.max(nextWait(parcel.tries, chance), pause))
        const waits = { ...parcel, dueAt: dueAt(draft, one, readyAt) }
        draft.waiting.set(key, { ...one, parcel: waits, readyAt, isUnderWay: false })
        draft.effects.push({ kind: 'waits', parcel: waits, reach })
      }
      if (pause > 0) leaveAlone(draft, parcel.channel, { until: millis(uptime + pause), sentence })
      return
    }
    default:
      came satisfies never
  }
}

/** A receiver that asked for a pause gets one from every message, newer ones included. */
function leaveAlone(draft: Draft, channel: ChannelId, pause: Pause): void {
  draft.pauses.set(channel, pause)
  for (const one of draft.waiting.values()) if (one.parcel.channel === channel) postpone(draft, one, pause)
}

function expire(draft: Draft): void {
  const { uptime } = draft.at
  for (const { parcel, endsAt, isUnderWay } of draft.waiting.values()) {
    if (isUnderWay || uptime < endsAt) continue
    const sentence = parcel.outcome ?? say('Its time was over before it could be tried.')
    end(draft, parcel, 'failed', sentence, parcel.tries > 0 ? { kind: 'lost', sentence } : null)
  }
  for (const [channel, { until }] of draft.pauses) if (uptime >= until) draft.pauses.delete(channel)
}

function beginTries(draft: Draft): void {
  const all = [...draft.waiting.values()]
  const busy = new Set(all.filter(({ isUnderWay }) => isUnderWay).map(({ parcel }) => parcel.channel))
  for (const one of all.filter(({ readyAt }) => readyAt <= draft.at.uptime).sort(mostUrgentFirst)) {
    if (busy.size === mostAtOnce) return
    const { parcel, isUnderWay } = one
    if (isUnderWay || busy.has(parcel.channel)) continue
    busy.add(parcel.channel)
    draft.waiting.set(parcel.key, { ...one, isUnderWay: true })
    draft.effects.push({ kind: 'try', parcel })
  }
}

function bound(draft: Draft): void {
  const spare = draft.waiting.size - mostWaiting
  if (spare <= 0) return
  const victims = [...draft.waiting.values()].filter(({ isUnderWay }) => !isUnderWay).sort(leastWorthFirst)
  for (const { parcel } of victims.slice(0, spare))
    end(
      draft,
      parcel,
      'failed',
      say('More than {mostWaiting} messages were waiting; this one had to go.', { mostWaiting }),
      null,
    )
}

function end(
  draft: Draft,
  parcel: Parcel,
  state: 'delivered' | 'failed' | 'replaced',
  outcome: string,
  reach: Reach,
): void {
  draft.waiting.delete(parcel.key)
  const ended = { ...parcel, state, outcome: outcome.slice(0, longestOutcome) }
  draft.effects.push({ kind: 'ended', parcel: ended, reach })
}

const newer = say('Something newer was said instead.')

/** The newer takes the older's place: about the same alarm, or of the same kind where it is about none. */
const isSameMatter = (one: Parcel, other: Parcel): boolean =>
  one.channel === other.channel &&
  one.alarm === other.alarm &&
  (one.alarm !== null || one.kind === other.kind)

const rings = ({ kind }: Parcel): boolean => kind === 'raised' || kind === 'again' || kind === 'chattering'

/** When it is tried next, or ends, for people and for a restart. */
const dueAt = ({ at }: Draft, { endsAt }: Waiting, readyAt: Millis): Instant =>
  later(at.now, Math.min(readyAt, endsAt) - at.uptime)

const rank = { high: 0, medium: 1, low: 2 } as const

/** What was never tried goes before what has failed, so that four dead receivers do not hold up a new alarm. */
const mostUrgentFirst = ({ parcel: one }: Waiting, { parcel: other }: Waiting): number =>
  rank[one.message.priority] - rank[other.message.priority] ||
  one.tries - other.tries ||
  one.bornAt - other.bornAt

const leastWorthFirst = ({ parcel: one }: Waiting, { parcel: other }: Waiting): number =>
  rank[other.message.priority] - rank[one.message.priority] || one.bornAt - other.bornAt
