import type { Message, Parcel } from '../../schemas/outbox.ts'
import { byteLength, cutToFit } from './cut-text.ts'

/**
 * The plaintext of a push message: JSON for the page's service worker, at most `limit` bytes. The text is cut first, then
 * the title. A link is never cut; one that leaves no room even so is left out, for an alarm without a link beats none.
 */
export function pushPayload(parcel: Parcel, limit: number): string {
  const { title, text, priority, link, acknowledgeLink } = parcel.message
  const written = (parts: Message): string =>
    JSON.stringify({ ...parts, key: parcel.key, alarm: parcel.alarm, kind: parcel.kind })
  const fits = (parts: Message): boolean => byteLength(written(parts)) <= limit

  const kept = [
    { link, acknowledgeLink },
    { link, acknowledgeLink: null },
    { link: null, acknowledgeLink: null },
  ]
  const whole = kept.map((links) => ({ title, text, priority, ...links }))
  const parts = whole.find((each) => fits({ ...each, title: '', text: '' }))
  if (parts === undefined) throw new Error(`No push payload of ${limit} bytes holds the key of a parcel.`)
  const cutTitle = cutToFit(title, (cut) => fits({ ...parts, title: cut, text: '' }))
  const cutText = cutToFit(text, (cut) => fits({ ...parts, title: cutTitle, text: cut }))
  return written({ ...parts, title: cutTitle, text: cutText })
}
