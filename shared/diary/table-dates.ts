import { addDays, wallInstant } from '../time/wall.ts'
import type { Instant } from '../../schemas/units.ts'
import { instantFrom } from './entry-columns.ts'
import { say } from '../words/say.ts'

/** In which order the numbers of `3/4/2026` stand in this table; null: it never shows. */
export type SlashOrder = 'dayFirst' | 'monthFirst' | 'both' | null

/** A whole table was written in one order: one day past the twelfth tells of all. */
export function slashOrder(dates: readonly string[]): SlashOrder {
  const pairs = dates.flatMap((date) => {
    const match = slashed.exec(date.trim())
    return match === null ? [] : [[Number(match[1]), Number(match[2])] as const]
  })
  const isDayFirst = pairs.some(([first]) => first > 12)
  const isMonthFirst = pairs.some(([, second]) => second > 12)
  return isDayFirst && isMonthFirst ? 'both' : isDayFirst ? 'dayFirst' : isMonthFirst ? 'monthFirst' : null
}

export type DateRead =
  | { readonly ok: true; readonly at: Instant; readonly hasTime: boolean }
  | { readonly ok: false; readonly sentence: string }

/** A date with or without its time, as a keeper writes it; without one it is noon. Times are the house's own. */
export function readDate(date: string, time: string, order: SlashOrder, timeZone: string): DateRead {
  const whole = time.trim() === '' ? date.trim() : `${date.trim()} ${time.trim()}`
  const exact = instantFrom(whole.replace(' ', 'T'))
  if (exact !== null) return { ok: true, at: exact as Instant, hasTime: true }
  const [day = '', wall] = whole.split(/[T ]+(.*)/s)
  const ymd = calendarDate(day, order)
  if (ymd === 'either') return fault(say('{day} may be one of two days; write it as 2026-11-30.', { day }))
  if (ymd === null)
    return fault(say('“{day}” is not a date such as 2026-11-30 or 30.11.2026.', { day: day.slice(0, 40) }))
  if (ymd < '1970-01-02') return fault(say('{day} lies before 1970.', { day }))
  const clock = wall === undefined || wall === '' ? noon : clockOf(wall)
  if (clock === null) return fault(say('“{wall}” is not a time such as 18:30.', { wall: wall?.slice(0, 40) }))
  const at = wallInstant(ymd, clock.wall, timeZone) + clock.seconds * 1000
  return { ok: true, at: at as Instant, hasTime: wall !== undefined && wall !== '' }
}

const fault = (sentence: string): DateRead => ({ ok: false, sentence })

const noon = { wall: '12:00', seconds: 0 } as const
const slashed = /^(\d{1,2})\/(\d{1,2})\/(\d{4})(?=$|[T ])/
const dotted = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/

/** `either`: it may be one of two days. */
function calendarDate(text: string, order: SlashOrder): string | null {
  const iso = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  if (iso !== null) return real(iso[1], iso[2], iso[3])
  const dots = dotted.exec(text)
  if (dots !== null) return real(dots[3], dots[2], dots[1])
  const slashes = slashed.exec(text)
  if (slashes === null) return null
  if (order === 'dayFirst') return real(slashes[3], slashes[2], slashes[1])
  if (order === 'monthFirst') return real(slashes[3], slashes[1], slashes[2])
  return slashes[1] === slashes[2] ? real(slashes[3], slashes[1], slashes[2]) : 'either'
}

/** Null where the calendar has no such day. */
function real(year = '', month = '', day = ''): string | null {
  const date = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`
  try {
    return addDays(date, 0)
  } catch {
    return null
  }
}

function clockOf(text: string): { readonly wall: string; readonly seconds: number } | null {
  const match = /^(\d{1,2}):(\d{2})(?::(\d{2}))?$/.exec(text.trim())
  if (match === null) return null
  const [hour, minute, second] = [Number(match[1]), Number(match[2]), Number(match[3] ?? 0)]
  if (hour > 23 || minute > 59 || second > 59) return null
  return { wall: `${String(hour).padStart(2, '0')}:${match[2]}`, seconds: second }
}
