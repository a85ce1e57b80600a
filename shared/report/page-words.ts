import { instant } from '../../schemas/amounts.ts'
import { localDate } from '../time/wall.ts'
import { clockWords } from '../telling/message.ts'
import { say } from '../words/say.ts'

const months = [
  say('Jan'),
  say('Feb'),
  say('Mar'),
  say('Apr'),
  say('May'),
  say('Jun'),
  say('Jul'),
  say('Aug'),
  say('Sep'),
  say('Oct'),
  say('Nov'),
  say('Dec'),
]

/** `12 Nov 2026`: on paper the year is never in doubt. */
export function dateWords(isoDate: string): string {
  const [year, month, day] = isoDate.split('-').map(Number)
  return `${day ?? 0} ${months[(month ?? 1) - 1] ?? ''} ${year ?? 0}`
}

/** The local date of an instant, as above. */
export const dayWords = (at: number, timeZone: string): string => dateWords(localDate(instant(at), timeZone))

/** `12 Nov 2026, 03:14` */
export const instantWords = (at: number, timeZone: string): string =>
  `${dayWords(at, timeZone)}, ${clockWords(instant(at), timeZone).slice(-5)}`

/** `3.4 °C` with a true minus. */
export const celsiusWords = (value: number): string =>
  `${(Number(value.toFixed(1)) === 0 ? 0 : value).toFixed(1).replace('-', '−')} °C`

/** `812 g`, `6.31 kg`: three figures of a large animal are more than a scale gives. */
export const gramsWords = (grams: number): string =>
  grams >= 10_000
    ? say('{part} kg', { part: (grams / 1000).toFixed(2) })
    : `${String(Math.round(grams * 10) / 10)} g`
