import type { Alarm } from '../../schemas/alarm.ts'
import { hours, later } from '../../schemas/amounts.ts'
import type { AlarmId, ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/** A link outlives a night and the morning after it; each repeat of an alarm carries a fresh one. A design choice. */
const linkLasts: Millis = hours(24)

/** What a link in a message is good for: answering one raising of one alarm, or saying that one test rang. */
export type LinkPurpose =
  | {
      readonly purpose: 'answer'
      readonly alarm: AlarmId
      readonly occurrence: number
      readonly contact: ContactId
      readonly until: Instant
    }
  | {
      readonly purpose: 'ring'
      readonly channel: ChannelId
      readonly contact: ContactId
      readonly until: Instant
    }

export const answerPurpose = (alarm: Alarm, contact: ContactId, now: Instant): LinkPurpose => ({
  purpose: 'answer',
  alarm: alarm.id,
  occurrence: alarm.occurrence,
  contact,
  until: later(now, linkLasts),
})

export const ringPurpose = (channel: ChannelId, contact: ContactId, now: Instant): LinkPurpose => ({
  purpose: 'ring',
  channel,
  contact,
  until: later(now, linkLasts),
})

/** As text to be sealed: short, for it travels in a header. */
export function purposeText(link: LinkPurpose): string {
  return link.purpose === 'answer'
    ? JSON.stringify(['a', link.alarm, link.occurrence, link.contact, link.until])
    : JSON.stringify(['r', link.channel, link.contact, link.until])
}

/** Null for what is no purpose. Its seal has been checked before: this only reads. */
export function readPurpose(text: string): LinkPurpose | null {
  let parts: unknown
  try {
    parts = JSON.parse(text)
  } catch {
    return null
  }
  if (!Array.isArray(parts)) return null
  const [kind, ...rest] = parts as unknown[]
  if (kind === 'a') {
    const [alarm, occurrence, contact, until] = rest
    if (typeof alarm !== 'string' || typeof occurrence !== 'number' || !isWhom(contact, until)) return null
    return {
      purpose: 'answer',
      alarm: alarm as AlarmId,
      occurrence,
      contact: contact as ContactId,
      until: until as Instant,
    }
  }
  const [channel, contact, until] = rest
  if (kind !== 'r' || typeof channel !== 'string' || !isWhom(contact, until)) return null
  return {
    purpose: 'ring',
    channel: channel as ChannelId,
    contact: contact as ContactId,
    until: until as Instant,
  }
}

const isWhom = (contact: unknown, until: unknown): boolean =>
  typeof contact === 'string' && typeof until === 'number'
