import type { Instant, Millis } from '../../schemas/units.ts'

/** 1 h in ms: an alarm told to wait longer would be no alarm, and asking once an hour burdens nobody. A design choice. */
export const longestWait = 3_600_000

/**
 * How long a receiver asks us to wait (RFC 9110 §10.2.3: whole seconds or an HTTP date), 0 to `longestWait`; null where
 * it says nothing that can be read.
 */
export function retryAfterOf(header: string | undefined, now: Instant): Millis | null {
  const text = header?.trim() ?? ''
  if (/^\d+$/.test(text)) return bounded(Number(text) * 1000)
  const at = httpDate(text, now)
  return at === null ? null : bounded(at - now)
}

/**
 * Milliseconds since the epoch of an HTTP date in any of the three forms that a recipient must read (RFC 9110 §5.6.7);
 * null for anything else. `now` decides the century of the oldest form but one: at most 50 years ahead.
 */
export function httpDate(text: string, now: Instant): number | null {
  const match = forms.map((form) => form.exec(text)).find((found) => found !== null)
  if (!match?.groups) return null
  const { day = '', month = '', year = '', time = '' } = match.groups
  const monthNumber = months.indexOf(month)
  const [hour = 0, minute = 0, second = 0] = time.split(':').map(Number)
  const fullYear = year.length === 2 ? inCentury(Number(year), now) : Number(year)
  const date = new Date(Date.UTC(fullYear, monthNumber, Number(day), hour, minute, second))
  const isReal =
    monthNumber >= 0 && date.getUTCDate() === Number(day) && hour < 24 && minute < 60 && second <= 60
  return isReal ? date.getTime() : null
}

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

const forms = [
  /^[A-Z][a-z]{2}, (?<day>\d{2}) (?<month>[A-Z][a-z]{2}) (?<year>\d{4}) (?<time>\d{2}:\d{2}:\d{2}) GMT$/,
  /^[A-Z][a-z]{5,8}, (?<day>\d{2})-(?<month>[A-Z][a-z]{2})-(?<year>\d{2}) (?<time>\d{2}:\d{2}:\d{2}) GMT$/,
  /^[A-Z][a-z]{2} (?<month>[A-Z][a-z]{2}) (?<day>[ \d]\d) (?<time>\d{2}:\d{2}:\d{2}) (?<year>\d{4})$/,
]

function inCentury(twoDigits: number, now: Instant): number {
  const thisYear = new Date(now).getUTCFullYear()
  const year = thisYear - (thisYear % 100) + twoDigits
  return year > thisYear + 50 ? year - 100 : year
}

const bounded = (ms: number): Millis => Math.min(Math.max(ms, 0), longestWait) as Millis
