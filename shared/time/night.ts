import type { Night } from '../../schemas/api.ts'
import type { NightHours } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, daysBetween, localDate, wallInstant } from './wall.ts'

/**
 * The night named by the date on which it begins; `from` is included, `to` left out. Where `from` is earlier in the day
 * than `to` (01:00 to 06:00) the night lies within that date; equal hours make a whole day. 11, 12 or 13 h for
 * 20:00 to 08:00 when clocks change.
 */
export function nightNamed(date: string, timeZone: string, hours: NightHours): Night {
  const lastDate = hours.from < hours.to ? date : addDays(date, 1)
  return {
    date,
    from: wallInstant(date, hours.from, timeZone),
    to: wallInstant(lastDate, hours.to, timeZone),
  }
}

/** The night that is running at `at`, else the one last passed. */
export function nightOf(at: Instant, timeZone: string, hours: NightHours): Night {
  const today = localDate(at, timeZone)
  // Tomorrow's night can have begun where clocks go back over midnight (00:01 to 23:01, St John's until 2011).
  for (let ahead = 1; ahead > -1; ahead--) {
    const night = nightNamed(addDays(today, ahead), timeZone, hours)
    if (night.from <= at) return night
  }
  return nightNamed(addDays(today, -1), timeZone, hours)
}

/** Whether `at` lies in a night: its first instant does, its end does not. */
export function isNight(at: Instant, timeZone: string, hours: NightHours): boolean {
  const night = nightOf(at, timeZone, hours)
  return night.from <= at && at < night.to
}

/** Ten years of nights in one answer (X3): ten times the longest season that a screen or a report asks for. */
export const nightsAtMost = 3660

/** Every night named from `firstDate` to `lastDate`, both included, in order; none when `lastDate` comes before. */
export function nightsBetween(
  firstDate: string,
  lastDate: string,
  timeZone: string,
  hours: NightHours,
): Night[] {
  const count = daysBetween(firstDate, lastDate) + 1
  if (count > nightsAtMost) throw new RangeError(`${count} nights asked for, at most ${nightsAtMost}`)
  const nights: Night[] = []
  for (let i = 0; i < count; i++) nights.push(nightNamed(addDays(firstDate, i), timeZone, hours))
  return nights
}
