import type { DayOrder } from '../../schemas/import.ts'

/** A time as it is written: an instant, or what a clock on a wall showed, read as if it were UTC. Whole milliseconds. */
export type WrittenTime =
  | { readonly kind: 'instant'; readonly at: number }
  | { readonly kind: 'wall'; readonly wall: number }

/**
 * Reads ISO 8601 with or without an offset, dates in figures with the year first or last, English months, 12-hour
 * clocks, Unix seconds and milliseconds, and the day numbers of spreadsheets. Null for anything else, and for dates that
 * no calendar has. `dayOrder` decides what `/` and `-` leave open; a dot is day first (common practice, no source).
 */
export function readTime(text: string, dayOrder: DayOrder): WrittenTime | null {
  const figures = fromFigures(text, dayOrder)
  if (figures !== undefined) return figures
  return fromMonthName(text) ?? fromNumber(text)
}

/** What a date says about the order of day and month: `null` where it may be read both ways or says nothing. */
export function orderIn(text: string): DayOrder | 'open' | null {
  const match = yearLast.exec(text)
  if (match === null) return null
  const [, one = '', sign, other = ''] = match
  if (sign === '.') return null
  if (Number(one) > 12) return 'dayFirst'
  if (Number(other) > 12) return 'monthFirst'
  return 'open'
}

/** The time of day of a cell that holds nothing else, in ms; null for anything else. */
export function readClock(text: string): number | null {
  const match = clockOnly.exec(text)
  return match === null ? null : clockMs(match, 1)
}

/** A date and a time of day from cells of their own. */
export function joinTime(date: WrittenTime | null, clock: number | null): WrittenTime | null {
  if (date === null || clock === null || date.kind !== 'wall') return null
  return { kind: 'wall', wall: date.wall + clock }
}

const clock = String.raw`(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s*([ap]\.?\s?m\.?)?`
const offset = String.raw`\s*(Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?`
const yearFirst = new RegExp(
  String.raw`^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:(?:\s*T\s*|,?\s+)${clock}${offset})?$`,
  'i',
)
const yearLast = new RegExp(
  String.raw`^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?:(?:\s*T\s*|,?\s+)${clock}${offset})?$`,
  'i',
)
const monthName = new RegExp(
  String.raw`^(?:(\d{1,2})[-\s.]*([a-z]{3,9})|([a-z]{3,9})\.?\s+(\d{1,2}))[-\s,.]+(\d{4})(?:,?\s+${clock}${offset})?$`,
  'i',
)
const clockOnly = new RegExp(`^${clock}$`, 'i')
const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']

function fromFigures(text: string, dayOrder: DayOrder): WrittenTime | null | undefined {
  const first = yearFirst.exec(text)
  if (first !== null)
    return timeOf(Number(first[1]), Number(first[3]), Number(first[4]), clockAt(first, 5), first[10])
  const last = yearLast.exec(text)
  if (last === null) return undefined
  const isDayFirst = last[2] === '.' || dayOrder === 'dayFirst'
  const [one, other] = [Number(last[1]), Number(last[3])]
  const written = Number(last[4])
  // A logger's past is of this century.
  const year = (last[4] ?? '').length === 2 ? 2000 + written : written
  return timeOf(year, isDayFirst ? other : one, isDayFirst ? one : other, clockAt(last, 5), last[10])
}

function fromMonthName(text: string): WrittenTime | null {
  const match = monthName.exec(text)
  if (match === null) return null
  const month = months.indexOf((match[2] ?? match[3] ?? '').slice(0, 3).toLowerCase()) + 1
  if (month === 0) return null
  return timeOf(Number(match[5]), month, Number(match[1] ?? match[4]), clockAt(match, 6), match[11])
}

/** Seconds from here on were after 2001-09-09, and day numbers end long before. */
const fewestSeconds = 1e9
const fewestMillis = 1e12
/** Of 2000-01-01 and 2099-12-31. */
const serialDays = { first: 36_526, last: 73_050 } as const
/** The day number of 1970-01-01 where 1900-01-01 is day 1 and 1900 counts as a leap year (ECMA-376 part 1, §18.17.4.1). */
const serialEpoch = 25_569

function fromNumber(text: string): WrittenTime | null {
  if (!/^\d{5,13}(?:[.,]\d{1,12})?$/.test(text)) return null
  const number = Number(text.replace(',', '.'))
  if (number >= fewestMillis) return { kind: 'instant', at: Math.round(number) }
  if (number >= fewestSeconds) return { kind: 'instant', at: Math.round(number * 1000) }
  if (number < serialDays.first || number >= serialDays.last + 1) return null
  // Half a second is lost where a spreadsheet writes five decimals: its times were whole seconds.
  const wall = Math.round((number - serialEpoch) * 86_400) * 1000
  return { kind: 'wall', wall }
}

type Clock = number | null | 'none'

function clockAt(match: RegExpExecArray, i: number): Clock {
  return match[i] === undefined ? 'none' : clockMs(match, i)
}

function clockMs(match: RegExpExecArray, i: number): number | null {
  const half = match[i + 4]
  const [minute, second] = [Number(match[i + 1]), Number(match[i + 2] ?? 0)]
  const written = Number(match[i])
  if (half !== undefined && (written < 1 || written > 12)) return null
  const hour = half === undefined ? written : (written % 12) + (/^p/i.test(half) ? 12 : 0)
  if (hour > 23 || minute > 59 || second > 59) return null
  const thousandths =
    match[i + 3] === undefined ? 0 : Number((match[i + 3] as string).slice(0, 3).padEnd(3, '0'))
  return ((hour * 60 + minute) * 60 + second) * 1000 + thousandths
}

function timeOf(
  year: number,
  month: number,
  day: number,
  time: Clock,
  zone: string | undefined,
): WrittenTime | null {
  if (time === null || month < 1 || month > 12 || day < 1 || day > daysIn(year, month)) return null
  const wall = Date.UTC(year, month - 1, day) + (time === 'none' ? 0 : time)
  const away = zone === undefined ? null : offsetMs(zone)
  return away === null ? { kind: 'wall', wall } : { kind: 'instant', at: wall - away }
}

const daysIn = (year: number, month: number): number => new Date(Date.UTC(year, month, 0)).getUTCDate()

function offsetMs(zone: string): number {
  const match = /^([+-])(\d{2}):?(\d{2})?$/.exec(zone)
  if (match === null) return 0
  const minutes = Number(match[2]) * 60 + Number(match[3] ?? 0)
  return (match[1] === '-' ? -minutes : minutes) * 60_000
}
