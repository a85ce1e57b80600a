import { instant } from '../../schemas/amounts.ts'
import { localDate } from '../time/wall.ts'
import { clockWords, valueWords } from '../telling/words.ts'
import { dateFormat, inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** `12 Nov 2026`: on paper the year is never in doubt. */
export const dateWords = (isoDate: string): string =>
  dateFormat({ day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' }).format(Date.parse(isoDate))

/** The local date of an instant, as above. */
export const dayWords = (at: number, timeZone: string): string => dateWords(localDate(instant(at), timeZone))

/** `12 Nov 2026, 03:14` */
export const instantWords = (at: number, timeZone: string): string =>
  `${dayWords(at, timeZone)}, ${clockWords(instant(at), timeZone)}`

/** `3.4 °C`: on paper always so. */
export const celsiusWords = (value: number): string => valueWords('temperature', value, 'celsius')

/** `812 g`, `6.31 kg`: three figures of a large animal are more than a scale gives. */
export const gramsWords = (grams: number): string =>
  grams >= 10_000
    ? say('{part} kg', { part: inReadersDigits((grams / 1000).toFixed(2)) })
    : `${inReadersDigits(String(Math.round(grams * 10) / 10))} g`
