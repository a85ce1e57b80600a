import type { Hemisphere } from '../../schemas/place.ts'

/**
 * The winter that the night of `date` belongs to. North: 1 July to 30 June, named by both years, `2026/27`; south:
 * 1 January to 31 December, `2026`. The cuts lie in midsummer, when nothing hibernates.
 */
export function seasonOf(date: string, hemisphere: Hemisphere): string {
  const match = /^(\d{4})-(\d{2})-\d{2}$/.exec(date)
  if (!match) throw new RangeError(`not a calendar date: ${date}`)
  const year = Number(match[1])
  if (hemisphere === 'south') return fourDigits(year)
  const first = Number(match[2]) >= 7 ? year : year - 1
  return `${fourDigits(first)}/${twoDigits(first + 1)}`
}

/** First and last date of a season, both included; null when the text names none (`2026`, `2026/27`, `1999/00`). */
export function seasonDates(season: string): { first: string; last: string } | null {
  const match = /^(\d{4})(?:\/(\d{2}))?$/.exec(season)
  if (!match) return null
  const year = Number(match[1])
  if (match[2] === undefined) return { first: `${fourDigits(year)}-01-01`, last: `${fourDigits(year)}-12-31` }
  if (match[2] !== twoDigits(year + 1) || year === 9999) return null
  return { first: `${fourDigits(year)}-07-01`, last: `${fourDigits(year + 1)}-06-30` }
}

const fourDigits = (year: number): string => String(year).padStart(4, '0')
const twoDigits = (year: number): string => String(year % 100).padStart(2, '0')
