import { z } from 'zod'
import { Alarm } from './alarm.ts'
import { Priority } from './band.ts'
import { Channel, ChannelSecret, Contact, Telling } from './contact.ts'
import { AlarmId, ChannelId, ContactId } from './ids.ts'
import { MessageKind } from './outbox.ts'
import { Instant } from './units.ts'

/** A channel as the screen shows it. Nothing of its secret but whether there is one (X4). */
export const ChannelNow = z.strictObject({
  channel: Channel,
  hasSecret: z.boolean(),
  /** Whether its last messages arrived; `unknown` before the first. */
  condition: z.enum(['unknown', 'working', 'failing']),
  /** What came of the last try, in one sentence, and when. */
  lastSentence: z.string().nullable(),
  lastAt: Instant.nullable(),
  /** When a test was last confirmed to have rung; asked for again after 30 days. */
  rungAt: Instant.nullable(),
  isRingDue: z.boolean(),
})
export type ChannelNow = z.infer<typeof ChannelNow>

export const ContactNow = z.strictObject({ contact: Contact, channels: z.array(ChannelNow) })
export type ContactNow = z.infer<typeof ContactNow>

/** Everything about who is told, in one answer. Contacts in the order in which they are told. */
export const TellingNow = z.strictObject({
  contacts: z.array(ContactNow),
  telling: Telling,
  /** Which kinds of channel this daemon can send by; mail needs a mail server in the settings. */
  kinds: z.strictObject({
    push: z.boolean(),
    relay: z.boolean(),
    mail: z.boolean(),
    webhook: z.boolean(),
  }),
  /** VAPID key (RFC 8292) for a browser that wants to be rung. */
  pushKey: z.string(),
  /** The address that links in messages lead to. */
  address: z.string(),
})
export type TellingNow = z.infer<typeof TellingNow>

/** The order in which contacts are told, and the waits. */
export const SaveTelling = z.strictObject({ order: z.array(ContactId).max(20), telling: Telling })
export type SaveTelling = z.infer<typeof SaveTelling>

/** A channel with its secret; a secret left out stays as it is. */
export const SaveChannel = z.strictObject({ channel: Channel, secret: ChannelSecret.optional() })
export type SaveChannel = z.infer<typeof SaveChannel>

/** One message's way, without its links: a link is a key (X4). */
export const MessageLine = z.strictObject({
  key: z.string(),
  kind: MessageKind,
  contact: ContactId,
  channel: ChannelId,
  alarm: AlarmId.nullable(),
  title: z.string(),
  text: z.string(),
  priority: Priority,
  bornAt: Instant,
  /** When it is tried next; null once it has ended. */
  dueAt: Instant.nullable(),
  tries: z.int(),
  state: z.enum(['waiting', 'delivered', 'failed', 'replaced']),
  outcome: z.string().nullable(),
})
export type MessageLine = z.infer<typeof MessageLine>

/** What somebody who came by the link in a message sees: one raising of one alarm, and what may be done about it. */
export const AnswerNow = z.strictObject({
  /** What the link is for: answering an alarm, or saying that a test rang. */
  purpose: z.enum(['answer', 'ring']),
  household: z.string(),
  /** The contact whom the message was for. */
  name: z.string(),
  /** How it stands, in one sentence: `Still dangerously cold`, `Over since 03:12`, `Bela acknowledged it at 03:14`. */
  sentence: z.string(),
  alarm: Alarm.nullable(),
  headline: z.string(),
  animals: z.array(z.string()),
  firstThing: z.string().nullable(),
  canAcknowledge: z.boolean(),
  canTend: z.boolean(),
  tendedUntil: Instant.nullable(),
  /** Only where the contact is a keeper's. */
  canShelve: z.boolean(),
  /** ms; 0 where nothing may be shelved. */
  longestShelving: z.int(),
})
export type AnswerNow = z.infer<typeof AnswerNow>

const Token = z.string().min(1).max(600)

export const Answer = z.strictObject({ token: Token })
export type Answer = z.infer<typeof Answer>

export const AnswerTend = z.strictObject({ token: Token, minutes: z.int().min(0).max(10_000) })
export const AnswerShelve = z.strictObject({
  token: Token,
  minutes: z.int().min(1).max(10_000),
  reason: z.string().trim().min(1, 'say why').max(300),
})
