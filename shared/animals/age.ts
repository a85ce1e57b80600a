import type { Animal } from '../../schemas/animal.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate, wallInstant } from '../time/wall.ts'
import type { Subject } from './subject.ts'

/**
 * Below this it is young. Derived: a first hold is advised between the second and the fourth winter (BVA/BSAVA/BVZS
 * 2016), so that the caps of the young apply until four years are full.
 */
const youngBelowYears = 4

/** Years since it hatched: from the middle of the span that is known of its date. Null: not known, or not yet. */
export function yearsOf({ hatched }: Pick<Animal, 'hatched'>, now: Instant, timeZone: string): number | null {
  const span = hatched === undefined ? null : spanOf(hatched, now, timeZone)
  return span === null ? null : yearsBetween((span.first + span.last) / 2, now)
}

/**
 * Hatchling, juvenile or below four years: by the latest day on which it can have hatched; without one, by its
 * age class.
 */
export function isYoung({ animal, now, timeZone }: Pick<Subject, 'animal' | 'now' | 'timeZone'>): boolean {
  const span = animal.hatched === undefined ? null : spanOf(animal.hatched, now, timeZone)
  if (span === null) return animal.ageClass === 'hatchling' || animal.ageClass === 'juvenile'
  return yearsBetween(span.last, now) < youngBelowYears
}

const msPerYear = 365.25 * 86_400_000
const yearsBetween = (from: number, to: number): number => Math.max(0, (to - from) / msPerYear)

/** First and last local noon of a rough date, the last no later than `now`; null where all of it lies ahead. */
function spanOf(
  rough: string,
  now: Instant,
  timeZone: string,
): { readonly first: number; readonly last: number } | null {
  const [year = '', month, day] = rough.split('-')
  const first = `${year}-${month ?? '01'}-${day ?? '01'}`
  const last =
    day !== undefined ? first : month !== undefined ? lastOfMonth(`${year}-${month}`) : `${year}-12-31`
  if (!isCalendarDate(first) || first > localDate(now, timeZone)) return null
  const from = Math.min(wallInstant(first, '12:00', timeZone), now)
  return { first: from, last: Math.max(from, Math.min(wallInstant(last, '12:00', timeZone), now)) }
}

/** `2019-02` → `2019-02-28`: the day before the first of the next month, which is at most 31 days on. */
function lastOfMonth(yearMonth: string): string {
  const next = addDays(`${yearMonth}-01`, 31)
  return addDays(`${next.slice(0, 7)}-01`, -1)
}

/** A rough date may name a day that is none, as 30 February. */
const isCalendarDate = (date: string): boolean => {
  const parsed = new Date(`${date}T00:00:00Z`)
  return !Number.isNaN(parsed.getTime()) && parsed.toISOString().slice(0, 10) === date
}
