import { createHash } from 'node:crypto'
import type { Agent } from 'node:https'
import webPush from 'web-push'
import type { Urgency } from 'web-push'
import type { ChannelSecret } from '../../schemas/contact.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Sender } from '../ports/outbox.ts'
import { deliveryOfAnswer } from './delivery-of-answer.ts'
import { exchange } from './exchange.ts'
import type { Exchanged } from './exchange.ts'
import { pushPayload } from './push-payload.ts'
import { say } from '../../shared/words/say.ts'

/** Bytes. Encryption adds 103, and a push service need not take more than 4096 (RFC 8030 §7.2, RFC 8291 §4). */
const plaintextLimit = 3900
/** Bytes, for a service that answered 413: half of the usual, so that it takes one more try and no search. */
const shorterPlaintextLimit = 2000
/** Seconds: a phone between two cells still gets it. A design choice. */
const shortestTtl = 60
/** Seconds: four weeks, which push services do not exceed. Common practice, no source. */
const longestTtl = 2_419_200

export interface VapidKeys {
  /** Uncompressed point of P-256, base64url: what the page hands to the browser. */
  readonly publicKey: string
  /** base64url; a secret. */
  readonly privateKey: string
}

export interface WebPush {
  /** `subject`: a `mailto:` or `https:` address for the push service's operator (RFC 8292 §2.1). */
  readonly vapid: VapidKeys & { readonly subject: string }
  readonly clock: Pick<Clock, 'now'>
  readonly agent?: Agent
}

/** A new pair of keys. Subscriptions hang on it: a household keeps its first pair. */
export const newVapidKeys = (): VapidKeys => webPush.generateVAPIDKeys()

/**
 * Web Push: RFC 8030 (delivery), RFC 8291 (encryption), RFC 8292 (VAPID). `TTL` runs to the parcel's end, at least 60 s.
 * `Topic` names one raising of one alarm, so that what is newer about it replaces what still waits. A service that
 * answers 413 gets a shorter text once, in the same try. Throws at once where the VAPID keys cannot be used.
 */
export function webPushSender({ vapid, clock, agent }: WebPush): Sender<'push'> {
  const authorization = (origin: string): string => {
    const { subject, publicKey, privateKey } = vapid
    // the library's own clock: the service compares `exp` with the real time, whatever time the household is in
    return webPush.getVapidHeaders(origin, subject, publicKey, privateKey, 'aes128gcm').Authorization
  }
  authorization('https://push.invalid')

  return {
    async send(_channel, secret, parcel, signal) {
      if (secret?.kind !== 'push') return { outcome: 'gone', sentence: noSubscription }
      const url = new URL(secret.endpoint)
      const post = (payload: string): Promise<Exchanged> | null => {
        const body = encrypted(secret, payload)
        if (body === null) return null
        const headers = headersOf(parcel, clock.now(), authorization(url.origin))
        return exchange({ url, method: 'POST', headers, body, agent, signal, followsRedirects: false })
      }
      const payload = pushPayload(parcel, plaintextLimit)
      const first = await post(payload)
      if (first === null) return { outcome: 'gone', sentence: badSubscription }
      const isTooLong = first.answered && first.status === 413
      const shorter = isTooLong ? pushPayload(parcel, shorterPlaintextLimit) : payload
      const last = shorter === payload ? first : ((await post(shorter)) ?? first)
      return deliveryOfAnswer(say('The push service'), last, signal, clock.now())
    },
  }
}

const noSubscription = say('Nothing is kept about this browser: turn its messages on again, in that browser.')
const badSubscription = say(
  'The keys of this browser cannot be used: turn its messages on again, in that browser.',
)

/** RFC 8030 §5.3. What rings must also ring on a phone whose battery is low; an all-clear can wait for a charger. */
function urgencyOf({ kind, message }: Pick<Parcel, 'kind' | 'message'>): Urgency {
  if (kind === 'ring') return 'high'
  if (kind === 'returned') return 'normal'
  if (kind === 'summary') return 'low'
  return ({ high: 'high', medium: 'normal', low: 'low' } as const)[message.priority]
}

/** RFC 8030 §5.4: at most 32 characters of base64url; null for what is about no alarm, which replaces nothing. */
export function topicOf({ alarm, occurrence }: Pick<Parcel, 'alarm' | 'occurrence'>): string | null {
  if (alarm === null) return null
  return createHash('sha256').update(`${alarm} ${occurrence}`).digest('base64url').slice(0, 32)
}

function headersOf(parcel: Parcel, now: Instant, authorization: string): Record<string, string> {
  const seconds = Math.ceil((parcel.expiresAt - now) / 1000)
  const topic = topicOf(parcel)
  return {
    'Content-Type': 'application/octet-stream',
    'Content-Encoding': 'aes128gcm',
    TTL: String(Math.min(Math.max(seconds, shortestTtl), longestTtl)),
    Urgency: urgencyOf(parcel),
    ...(topic === null ? {} : { Topic: topic }),
    Authorization: authorization,
  }
}

/** Null where the browser's keys are none: too short, or no point of the curve. */
function encrypted(secret: Extract<ChannelSecret, { kind: 'push' }>, payload: string): Uint8Array | null {
  try {
    return webPush.encrypt(secret.p256dh, secret.auth, payload, 'aes128gcm').cipherText
  } catch {
    return null
  }
}
