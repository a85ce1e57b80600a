import type { Channel, ChannelSecret } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/**
 * What came of one try. `gone`: this channel will never work again (410, 404) · `refused`: this message will not be
 * taken however often it is tried · `later`: try again, not before `retryAfter` where the receiver named a time.
 */
export type Delivery =
  | { readonly outcome: 'delivered'; readonly sentence: string }
  | { readonly outcome: 'gone' | 'refused'; readonly sentence: string }
  | { readonly outcome: 'later'; readonly retryAfter: Millis | null; readonly sentence: string }

/**
 * Sends one parcel by one kind of channel. Never throws for anything that a network or a receiver does: that is a
 * `Delivery`. Ends within `signal`; an answer that comes later is nobody's.
 */
export interface Sender<Kind extends Channel['kind']> {
  send(
    channel: Extract<Channel, { kind: Kind }>,
    secret: ChannelSecret | null,
    parcel: Parcel,
    signal: AbortSignal,
  ): Promise<Delivery>
}

export type Senders = { readonly [Kind in Channel['kind']]: Sender<Kind> | null }

/** Parcels and channel secrets. In the same database; `commit` of the Store puts new parcels in with their alarm. */
export interface OutboxStore {
  /** Every parcel that still waits, oldest first. */
  waiting(): readonly Parcel[]
  /** Puts it in or over the one with its key. */
  save(parcel: Parcel): void
  /** Newest born first. */
  recent(limit: number): readonly Parcel[]
  /** Removes ended parcels born before `before`; returns how many. */
  forgetEnded(before: Instant): number
  channelSecret(channel: ChannelId): ChannelSecret | null
  /** Another secret than before makes the channel one that has yet to ring. */
  saveChannelSecret(channel: ChannelId, secret: ChannelSecret): void
  /** With when it rang. */
  forgetChannelSecret(channel: ChannelId): void
  /** When a channel last rang in a test that a person confirmed or the receiver took. */
  rungAt(channel: ChannelId): Instant | null
  saveRing(channel: ChannelId, at: Instant): void
}
