import { instant } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import { asNumber } from './number-text.ts'

/** Milliseconds since 1970: 2000-01-01, included. A clock that says less was never set. */
const EARLIEST = Date.UTC(2000, 0, 1)

/** Milliseconds since 1970: 2101-01-01, left out. Later is no time but a misread number. */
const LATEST = Date.UTC(2101, 0, 1)

/** The instant, to the nearest millisecond; null when it lies outside the years 2000 to 2100 or is no number. */
export function plausibleInstant(ms: number): Instant | null {
  const whole = Math.round(ms)
  return whole >= EARLIEST && whole < LATEST ? instant(whole) : null
}

/**
 * A message's own time: Unix seconds or milliseconds, as a number or its text, or ISO 8601 with an offset. Local time
 * without an offset names no instant. Null when it is none of these or lies outside the years 2000 to 2100.
 */
export function ownTime(value: unknown): Instant | null {
  if (typeof value === 'number') return plausibleInstant(Math.abs(value) < SECONDS_END ? value * 1000 : value)
  if (typeof value !== 'string' || value.length > MAX_TIME_LENGTH) return null
  const number = asNumber(value.trim())
  if (number !== null) return ownTime(number)
  const ms = fromIso(value.trim())
  return ms === null ? null : plausibleInstant(ms)
}

/** A number below this counts seconds (to the year 5138), from it on milliseconds (since March 1973). */
const SECONDS_END = 1e11

/** Characters: the longest ISO 8601 instant with nanoseconds and an offset has 35. */
const MAX_TIME_LENGTH = 40

const ISO =
  /^(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(?:[.,](\d{1,9}))?)?(?:Z|([+-])(\d\d):?(\d\d)?)$/i

/** By hand, because `Date.parse` takes 30 February for 2 March. Null when it is not a date and time with an offset. */
function fromIso(text: string): number | null {
  const match = ISO.exec(text)
  if (!match) return null
  const part = (i: number): number => Number(match[i] ?? 0)
  const [year, month, day, hour, minute, second] = [part(1), part(2), part(3), part(4), part(5), part(6)]
  const midnight = new Date(Date.UTC(year, month - 1, day))
  if (midnight.getUTCMonth() !== month - 1 || midnight.getUTCDate() !== day) return null
  if (hour > 23 || minute > 59 || second > 59 || part(9) > 23 || part(10) > 59) return null
  const fraction = match[7] === undefined ? 0 : Number(`0.${match[7]}`)
  const east = (match[8] === '-' ? -1 : 1) * (part(9) * 60 + part(10))
  return midnight.getTime() + ((hour * 60 + minute - east) * 60 + second + fraction) * 1000
}
