import { dateFormat } from '../words/reader.ts'
import { sayCount } from '../words/say.ts'

/** A local date as it is said within a year: `3 November`. */
export const dayWords = (date: string): string =>
  dateFormat({ day: 'numeric', month: 'long', timeZone: 'UTC' }).format(Date.parse(date))

/** `1 day`, `12 days`. */
export const countWords = (count: number, what: 'day' | 'month' | 'year'): string => counted[what](count)

const counted = {
  day: (n: number) => sayCount(n, '{n} day', '{n} days'),
  month: (n: number) => sayCount(n, '{n} month', '{n} months'),
  year: (n: number) => sayCount(n, '{n} year', '{n} years'),
} as const
