import { z } from 'zod'
import { Channel, Contact } from './contact.ts'

/**
 * What a browser says of itself when it wants to be rung: its push subscription (RFC 8030), whose keys are a P-256 point
 * of 65 bytes and 16 random bytes (RFC 8291 §3.1–3.2) in base64url.
 */
export const RingThisPhone = z.strictObject({
  label: z.string().trim().min(1).max(60),
  endpoint: z.url({ protocol: /^https$/ }).max(1000),
  p256dh: z.string().regex(/^[\w-]{87}=?$/, 'not a P-256 point in base64url'),
  auth: z.string().regex(/^[\w-]{22}(?:==)?$/, 'not 16 bytes in base64url'),
})
export type RingThisPhone = z.infer<typeof RingThisPhone>

/** What a browser needs before it can ask its push service for a subscription: our VAPID key (RFC 8292), no secret. */
export const PushKey = z.strictObject({ pushKey: z.string() })
export type PushKey = z.infer<typeof PushKey>

/** Whom it rings for from now on, and the channel that it has become. */
export const ThisPhone = z.strictObject({ contact: Contact, channel: Channel })
export type ThisPhone = z.infer<typeof ThisPhone>
