import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** Local wall-clock parts, proleptic Gregorian; `month` 1 to 12, `hour` 0 to 23. */
export interface LocalParts {
  readonly year: number
  readonly month: number
  readonly day: number
  readonly hour: number
  readonly minute: number
  readonly second: number
}

/** What a clock on the wall in `timeZone` (IANA name) shows at `at`. Throws RangeError for an unknown zone. */
export function localParts(at: Instant, timeZone: string): LocalParts {
  let year = 0
  let month = 0
  let day = 0
  let hour = 0
  let minute = 0
  let second = 0
  for (const part of formatterOf(timeZone).formatToParts(at)) {
    if (part.type === 'year') year = Number(part.value)
    else if (part.type === 'month') month = Number(part.value)
    else if (part.type === 'day') day = Number(part.value)
    else if (part.type === 'hour') hour = Number(part.value)
    else if (part.type === 'minute') minute = Number(part.value)
    else if (part.type === 'second') second = Number(part.value)
  }
  return { year, month, day, hour, minute, second }
}

/** Calendar date in `timeZone` at `at`, `2026-12-24`. */
export function localDate(at: Instant, timeZone: string): string {
  return dateOf(wallAsUtc(at, timeZone))
}

/**
 * The instant at which clocks in `timeZone` show `wall` (`HH:MM`) on `date` (from 1970-01-02 on). A wall time that the
 * clocks skip takes the first instant after the gap; one that they show twice takes the earlier instant. Later wall
 * times therefore never give earlier instants, except inside a repeated hour.
 */
export function wallInstant(date: string, wall: string, timeZone: string): Instant {
  const wanted = utcOf(date) + minutesOf(wall) * minuteMs
  // Offsets reach from −12 to +14 h, so the instant lies within a day of `wanted` taken as UTC.
  const before = offsetAt(wanted - dayMs, timeZone)
  const after = offsetAt(wanted + dayMs, timeZone)
  const early = wanted - Math.max(before, after)
  if (before === after) return instant(early)
  if (wallAsUtc(early, timeZone) === wanted) return instant(early)
  const late = wanted - Math.min(before, after)
  if (wallAsUtc(late, timeZone) === wanted) return instant(late)
  return instant(firstShowing(wanted, early, late, timeZone))
}

/** `date` moved by `n` whole calendar days (negative goes back). */
export function addDays(date: string, n: number): string {
  return dateOf(utcOf(date) + n * dayMs)
}

/** Whole calendar days from `first` to `last`; negative when `last` comes before. */
export function daysBetween(first: string, last: string): number {
  return Math.round((utcOf(last) - utcOf(first)) / dayMs)
}

const secondMs = 1000
const minuteMs = 60_000
const dayMs = 86_400_000

/** Zones kept at once (X3): a household has one or two; a formatter weighs some tens of kilobytes. */
const zonesKept = 64

/** A pure memo: making a formatter takes about a thousand times as long as using one. */
const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterOf(timeZone: string): Intl.DateTimeFormat {
  const known = formatters.get(timeZone)
  if (known !== undefined) return known
  const made = new Intl.DateTimeFormat('en-US-u-ca-iso8601-nu-latn', {
    timeZone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  })
  const oldest = formatters.keys().next()
  if (formatters.size >= zonesKept && oldest.done !== true) formatters.delete(oldest.value)
  formatters.set(timeZone, made)
  return made
}

/** The local wall time at `at`, read as if it were UTC: comparable by `<`. Whole seconds. */
function wallAsUtc(at: number, timeZone: string): number {
  const { year, month, day, hour, minute, second } = localParts(instant(at), timeZone)
  return Date.UTC(year, month - 1, day, hour, minute, second)
}

function offsetAt(at: number, timeZone: string): number {
  return wallAsUtc(at, timeZone) - Math.floor(at / secondMs) * secondMs
}

/** The first whole second in (early, late] at which the wall shows `wanted` or later; halving needs 17 steps for a day. */
function firstShowing(wanted: number, early: number, late: number, timeZone: string): number {
  let low = Math.floor(early / secondMs)
  let high = Math.ceil(late / secondMs)
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (wallAsUtc(middle * secondMs, timeZone) >= wanted) high = middle
    else low = middle
  }
  return high * secondMs
}

function utcOf(date: string): number {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date)
  const ms = match ? Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3])) : Number.NaN
  if (Number.isNaN(ms) || dateOf(ms) !== date) throw new RangeError(`not a calendar date: ${date}`)
  return ms
}

function dateOf(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10)
}

function minutesOf(wall: string): number {
  const match = /^([01]\d|2[0-3]):([0-5]\d)$/.exec(wall)
  if (!match) throw new RangeError(`not a wall time such as 20:00: ${wall}`)
  return Number(match[1]) * 60 + Number(match[2])
}
