import type { RingThisPhone, ThisPhone } from '../../schemas/phone.ts'
import type { Answer, Ask } from './ask.ts'
import { writePhoneNote } from './phone-note.ts'

/** Asks the browser's push service for an address, with this daemon's key (RFC 8292); one for another key is given up. */
export async function subscribe(
  registration: Pick<ServiceWorkerRegistration, 'pushManager'>,
  pushKey: string,
): Promise<PushSubscription> {
  const key = bytesOf(pushKey)
  const known = await registration.pushManager.getSubscription()
  if (known !== null && !isSameKey(known.options.applicationServerKey, key)) await known.unsubscribe()
  return registration.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key })
}

/** Tells the daemon where this browser is reached, and keeps what the daemon made of it. */
export async function announce(
  ask: Ask,
  label: string,
  subscription: Pick<PushSubscription, 'toJSON'>,
): Promise<Answer<ThisPhone>> {
  const { endpoint = '', keys = {} } = subscription.toJSON()
  const given: RingThisPhone = { label, endpoint, p256dh: keys['p256dh'] ?? '', auth: keys['auth'] ?? '' }
  const answer = await ask<ThisPhone>('POST', '/api/me/phone', given)
  if (answer.ok) {
    const { contact, channel } = answer.value
    await writePhoneNote({ label, contact: contact.id, channel: channel.id })
  }
  return answer
}

/** Bytes of base64url without padding (RFC 4648 §5). */
export function bytesOf(base64url: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64url.replaceAll('-', '+').replaceAll('_', '/'))
  return Uint8Array.from(text, (sign) => sign.charCodeAt(0))
}

export function isSameKey(one: ArrayBuffer | null, other: Uint8Array): boolean {
  if (one === null) return false
  const bytes = new Uint8Array(one)
  return bytes.length === other.length && bytes.every((byte, i) => byte === other[i])
}
