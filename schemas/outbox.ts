import { z } from 'zod'
import { Priority } from './band.ts'
import { AlarmId, ChannelId, ContactId } from './ids.ts'
import { Instant } from './units.ts'

/** Why a message goes out. `ring` is the keeper's own test; `summary` the morning's low priority. */
export const MessageKind = z.enum([
  'raised',
  'again',
  'returned',
  'chattering',
  'flood',
  'floodOver',
  'summary',
  'ring',
])
export type MessageKind = z.infer<typeof MessageKind>

/** What is said, ready for any channel; each channel cuts it to its own length. */
export const Message = z.strictObject({
  title: z.string().max(120),
  text: z.string().max(2000),
  priority: Priority,
  /** Opens what it is about and, signed, lets it be answered (A6); null where the daemon knows no address of its own. */
  link: z.string().max(1000).nullable(),
  /** Answers at once. */
  acknowledgeLink: z.string().max(1000).nullable(),
})
export type Message = z.infer<typeof Message>

/** One message to one channel of one contact, from its birth to its end. */
export const Parcel = z.strictObject({
  /** Idempotency key: the same through every try. */
  key: z.string().max(200),
  kind: MessageKind,
  contact: ContactId,
  channel: ChannelId,
  /** What it is about; null for a ring test or a summary. */
  alarm: AlarmId.nullable(),
  occurrence: z.int(),
  message: Message,
  bornAt: Instant,
  dueAt: Instant,
  /** After this it is no longer worth sending. */
  expiresAt: Instant,
  tries: z.int(),
  state: z.enum(['waiting', 'delivered', 'failed', 'replaced']),
  /** What came of the last try, in one sentence. */
  outcome: z.string().max(300).nullable(),
})
export type Parcel = z.infer<typeof Parcel>
