import type { NightHours } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { nightNamed, nightOf } from '../time/night.ts'
import { addDays } from '../time/wall.ts'

/** The last instant, at or before `at`, at which the quiet `hours` ended: what came in them may be said now. */
export function lastMorning(at: Instant, timeZone: string, hours: NightHours): Instant {
  const night = nightOf(at, timeZone, hours)
  if (night.to <= at) return night.to
  return nightNamed(addDays(night.date, -1), timeZone, hours).to
}
