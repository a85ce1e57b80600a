import { z } from 'zod'
import { ChannelId, ContactId, PersonId } from './ids.ts'
import { NightHours, TimeZone } from './place.ts'

const Label = z.string().min(1).max(60)

/** http or https; plain http is for receivers on the house's own network. */
const HttpUrl = z.url({ protocol: /^https?$/ }).max(500)

/**
 * A way to reach a contact. What would let somebody else use it (keys, tokens, headers) is kept apart as the channel's
 * secret and never leaves the daemon (X4).
 */
export const Channel = z.discriminatedUnion('kind', [
  /** A browser that asked for Web Push (RFC 8030). Made by that browser, not by hand; its endpoint is a secret. */
  z.strictObject({ id: ChannelId, kind: z.literal('push'), label: Label }),
  /** HTTP publish to a push relay: the message as plain text, the rest in headers. */
  z.strictObject({ id: ChannelId, kind: z.literal('relay'), label: Label, url: HttpUrl }),
  z.strictObject({ id: ChannelId, kind: z.literal('mail'), label: Label, address: z.email().max(254) }),
  /**
   * Any HTTP service: an SMS gateway, a voice call, a chat. Placeholders: `{{title}}`, `{{text}}`, `{{priority}}`,
   * `{{link}}`, `{{acknowledgeLink}}`, `{{key}}`, `{{alarm}}`.
   */
  z.strictObject({
    id: ChannelId,
    kind: z.literal('webhook'),
    label: Label,
    url: HttpUrl,
    method: z.enum(['POST', 'PUT']).default('POST'),
    contentType: z.string().max(100).default('application/json'),
    template: z.string().min(1).max(4000),
  }),
])
export type Channel = z.infer<typeof Channel>

/** The part of a channel that never leaves the daemon. */
export const ChannelSecret = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('push'),
    endpoint: z.url({ protocol: /^https$/ }).max(1000),
    p256dh: z.string().max(200),
    auth: z.string().max(100),
  }),
  z.strictObject({ kind: z.literal('relay'), token: z.string().max(500) }),
  z.strictObject({
    kind: z.literal('webhook'),
    headers: z.record(z.string().regex(/^[A-Za-z0-9-]{1,60}$/), z.string().max(500)).default({}),
  }),
])
export type ChannelSecret = z.infer<typeof ChannelSecret>

/** A person who is told. Contacts are tried in the household's order. */
export const Contact = z.strictObject({
  id: ContactId,
  name: z.string().min(1).max(60),
  /** The sign-in that is the same person, where there is one. */
  person: PersonId.nullable().default(null),
  timeZone: TimeZone.optional(),
  units: z.enum(['celsius', 'fahrenheit']).default('celsius'),
  /** Low priority waits until these hours are over; medium and high never do (A4). */
  quiet: NightHours.nullable().default(null),
  channels: z.array(Channel).max(10).default([]),
})
export type Contact = z.infer<typeof Contact>

/** How long each step of telling waits, in ms. */
export const Telling = z.strictObject({
  /** An unacknowledged high alarm rings again after this, and each time after. */
  repeatEvery: z.int().min(60_000).max(3_600_000).default(180_000),
  /** Unacknowledged for this long, the next contact is told too; again for the one after. */
  escalateAfter: z.int().min(60_000).max(3_600_000).default(600_000),
  /** A medium alarm that nobody acknowledged is told once more after this, to everybody. */
  againAfter: z.int().min(600_000).max(86_400_000).default(7_200_000),
  /** In the morning, with what was of low priority: what is to be done today. */
  morningList: z.boolean().default(true),
})
export type Telling = z.infer<typeof Telling>

/** Three minutes, ten minutes and two hours: design choices, no published source. */
export const usualTelling: Telling = {
  repeatEvery: 180_000,
  escalateAfter: 600_000,
  againAfter: 7_200_000,
  morningList: true,
}
