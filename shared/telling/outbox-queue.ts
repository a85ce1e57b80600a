import { millis } from '../../schemas/amounts.ts'
import type { AlarmId, ChannelId } from '../../schemas/ids.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { ReachEvent } from './reach.ts'

/**
 * Both clocks at one moment. `now` is what people read and what a restart goes by; it may be set forth or back by hours
 * when a machine without a battery clock hears the time. So within a run all waiting is measured by `uptime`.
 */
export interface Moment {
  readonly now: Instant
  readonly uptime: Millis
}

export interface Waiting {
  readonly parcel: Parcel
  /** Both by `uptime`. */
  readonly readyAt: Millis
  readonly endsAt: Millis
  readonly isUnderWay: boolean
  /** Why it need not be tried again, where that came up while it was under way. */
  readonly overtaken: string | null
}

/** Every parcel that has not ended, by key in order of arrival, and receivers that want to be left alone. */
export interface OutboxQueue {
  readonly waiting: ReadonlyMap<string, Waiting>
  readonly pauses: ReadonlyMap<ChannelId, Pause>
}

export interface Pause {
  readonly until: Millis
  readonly sentence: string
}

export const emptyQueue: OutboxQueue = { waiting: new Map(), pauses: new Map() }

/** What came of one try, as the port has it. */
export type Came =
  | { readonly outcome: 'delivered' | 'gone' | 'refused'; readonly sentence: string }
  | { readonly outcome: 'later'; readonly retryAfter: Millis | null; readonly sentence: string }

export type QueueEvent =
  | { readonly kind: 'put'; readonly parcels: readonly Parcel[] }
  /** What an earlier run left, oldest first: older than all that is here. */
  | { readonly kind: 'found'; readonly parcels: readonly Parcel[] }
  /** Nobody need be rung about this alarm any more. */
  | { readonly kind: 'settled'; readonly alarm: AlarmId; readonly outcome: string }
  /** A try has ended; `message` is what it said, `chance` from 0 (included) to 1 (left out). */
  | {
      readonly kind: 'came'
      readonly key: string
      readonly message: Message
      readonly came: Came
      readonly chance: number
    }
  /** It was to be tried, and cannot or need not be. */
  | {
      readonly kind: 'dropped'
      readonly key: string
      readonly state: 'failed' | 'replaced'
      readonly outcome: string
    }
  | { readonly kind: 'timePassed' }

/** What a channel is known by from here on. */
export type Reach = Pick<ReachEvent, 'kind' | 'sentence'> | null

export type QueueEffect =
  | { readonly kind: 'try'; readonly parcel: Parcel }
  /** It waits on, but not as it did. */
  | { readonly kind: 'waits'; readonly parcel: Parcel; readonly reach: Reach }
  | { readonly kind: 'ended'; readonly parcel: Parcel; readonly reach: Reach }

/** A timer that is set for more than 24.8 days fires at once (a signed 32-bit number of ms), and again, and again. */
const longestSleep = 86_400_000

/**
 * How long until time alone changes something; null where it never does. `uptime` is that of the last `timePassed`: what
 * was ready by then and does not go out waits for its turn, which needs no time.
 */
export function nextWake({ waiting }: OutboxQueue, uptime: Millis): Millis | null {
  const instants = [...waiting.values()]
    .filter(({ isUnderWay }) => !isUnderWay)
    .flatMap(({ readyAt, endsAt }) => (readyAt > uptime ? [readyAt, endsAt] : [endsAt]))
  return instants.length === 0
    ? null
    : millis(Math.min(Math.max(1, Math.min(...instants) - uptime), longestSleep))
}
