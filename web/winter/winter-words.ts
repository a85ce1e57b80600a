import type { Winter } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { say, sayCount } from '../../shared/words/say.ts'
import type { Tell } from '../words/tell.ts'
import { numbersOf, type StripNight } from './strip.ts'

/** A winter in a few short sentences. */
export function summaryWords(winter: Winter, now: number, tell: Tell): string {
  const { watched, coldest, alarmed, gaps } = numbersOf(winter, now)
  if (coldest === null) return say('Nothing was heard here in this season.')
  const lowest =
    winter.quantity === 'temperature'
      ? say('The coldest was {value}, on {date}.', lowestOf(winter, coldest, tell))
      : say('The lowest was {value}, on {date}.', lowestOf(winter, coldest, tell))
  return [
    sayCount(watched, 'One night was watched.', '{n} nights were watched.'),
    lowest,
    alarmed === 0
      ? say('No night had an alarm.')
      : sayCount(alarmed, 'One night had an alarm.', '{n} nights had alarms.'),
    gaps === 0
      ? say('It was never silent for more than an hour.')
      : sayCount(
          gaps,
          'Once it was silent for more than an hour.',
          '{n} times it was silent for more than an hour.',
        ),
  ].join(' ')
}

const lowestOf = (
  { quantity }: Winter,
  { value, date }: { readonly value: number; readonly date: string },
  tell: Tell,
): { value: string; date: string } => ({ value: tell.value(value, quantity), date: tell.date(date) })

/** What one night was, a phrase each. */
export function nightWords(
  { night, blank, opened }: StripNight,
  quantity: Quantity,
  tell: Tell,
): readonly string[] {
  const { min, max, below, above, alarms } = night
  if (min === null || max === null) return [say('nothing was heard')]
  const low = tell.figure(min, quantity)
  const value = tell.value(max, quantity)
  return [
    say('{low} to {value}', { low, value }),
    below > 0 ? say('{duration} below the band', { duration: durationWords(below) }) : '',
    above > 0 ? say('{duration} above the band', { duration: durationWords(above) }) : '',
    blank > 0 ? sayCount(blank, 'one hour without a reading', '{n} hours without a reading') : '',
    alarms > 0 ? sayCount(alarms, 'one alarm', '{n} alarms') : '',
    opened > 0 ? sayCount(opened, 'the door opened once', 'the door opened {n} times') : '',
  ].filter((phrase) => phrase !== '')
}

/** `Tue 12 Jan: 3.6 to 4.5 °C, one alarm`. */
export const nightLine = (one: StripNight, quantity: Quantity, tell: Tell): string =>
  say('{date}: {words}', { date: tell.date(one.date), words: nightWords(one, quantity, tell).join(', ') })
