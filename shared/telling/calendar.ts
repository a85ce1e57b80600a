import type { Instant } from '../../schemas/units.ts'

/** A whole day or more in a calendar. */
export interface CalendarEvent {
  /** The same each time it is written, and nobody else's. */
  readonly uid: string
  /** Local dates; `until` is left out of it (RFC 5545 §3.6.1). */
  readonly on: string
  readonly until: string
  readonly title: string
  readonly text: string
  /** Counts up when the same event is moved. */
  readonly sequence: number
}

export interface CalendarFeed {
  readonly name: string
  readonly at: Instant
  /** Opens the page that it comes from. */
  readonly link: string
  readonly events: readonly CalendarEvent[]
}

/**
 * An iCalendar object (RFC 5545; its name and refreshing by RFC 7986). All-day events without a time zone: a day is a day
 * wherever the phone is. No alarms: what rings is Brumal's to ring.
 */
export function writeCalendar({ name, at, link, events }: CalendarFeed): string {
  const stamp = utc(at)
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Brumal//Reminders//EN',
    'CALSCALE:GREGORIAN',
    `NAME:${escaped(name)}`,
    `X-WR-CALNAME:${escaped(name)}`,
    `REFRESH-INTERVAL;VALUE=DURATION:${refresh}`,
    `X-PUBLISHED-TTL:${refresh}`,
    ...events.flatMap((event) => [
      'BEGIN:VEVENT',
      `UID:${escaped(event.uid)}`,
      `DTSTAMP:${stamp}`,
      `LAST-MODIFIED:${stamp}`,
      `SEQUENCE:${event.sequence}`,
      `DTSTART;VALUE=DATE:${event.on.replaceAll('-', '')}`,
      `DTEND;VALUE=DATE:${event.until.replaceAll('-', '')}`,
      `SUMMARY:${escaped(event.title)}`,
      `DESCRIPTION:${escaped(event.text)}`,
      `URL:${link}`,
      'CLASS:PRIVATE',
      'TRANSP:TRANSPARENT',
      'END:VEVENT',
    ]),
    'END:VCALENDAR',
  ]
  return lines.map((line) => `${folded(line)}\r\n`).join('')
}

/** Twice in a waking day. Derived: what is due changes once a day, and what was done should go the same day. */
const refresh = 'PT6H'

/** RFC 5545 §3.1: 75 octets a line, without its end. */
const lineOctets = 75

/** RFC 5545 §3.3.11; what no text may hold is left out. */
export const escaped = (text: string): string =>
  text
    .replaceAll('\\', '\\\\')
    .replaceAll(';', '\\;')
    .replaceAll(',', '\\,')
    .replace(/\r\n|\r|\n/g, '\\n')
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
    .replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '')

/** Long lines go on after CRLF and a space, and no sign is cut in two. */
export function folded(line: string): string {
  let out = ''
  let octets = 0
  for (const sign of line) {
    const size = octetsOf(sign)
    if (octets + size > lineOctets) {
      out += '\r\n '
      octets = 1
    }
    out += sign
    octets += size
  }
  return out
}

/** Octets of one sign in UTF-8 (RFC 3629 §3). */
function octetsOf(sign: string): number {
  const code = sign.codePointAt(0) ?? 0
  if (code < 0x80) return 1
  if (code < 0x800) return 2
  return code < 0x10000 ? 3 : 4
}

const utc = (at: Instant): string =>
  `${new Date(at).toISOString().slice(0, 19).replaceAll('-', '').replaceAll(':', '')}Z`
