import { instant } from '../../schemas/amounts.ts'
import type { LastAiring, OxygenLeft } from '../../shared/season/airing.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import type { Told } from './thermal-words.ts'
import { say } from '../../shared/words/say.ts'

/** When fresh air last came in, or since when it has not. `knownFrom`: how far back the journal was read. */
export function airingWords(
  last: LastAiring | null,
  { isOpen, knownFrom }: { readonly isOpen: boolean; readonly knownFrom: number },
  { tell, now, zone }: Told,
): string {
  if (isOpen) return say('The door is open: it is being aired now.')
  if (last === null)
    return say('Not aired since {time} at least: no opening was seen.', {
      time: tell.when(knownFrom, now, zone),
    })
  const day = (at: number): string => localDate(instant(at), zone)
  const ago = daysBetween(day(last.at), day(now))
  return say('Last aired {dayAt}{part}.', {
    dayAt: tell.dayAt(last.at, now, zone),
    part: ago > 1 ? say(', {count} days ago', { count: tell.count(ago) }) : '',
  })
}

/** How soon those inside use up the air, or which figures are missing to say so; null where nobody breathes in there. */
export function oxygenWords(left: OxygenLeft, place: string, { tell }: Pick<Told, 'tell'>): string | null {
  switch (left.kind) {
    case 'nobody':
      return null
    case 'known': {
      const [usual, least] = [left.days, left.leastDays].map((days) => tell.count(roughly(days)))
      return say(
        'Shut tight, this air would lose one point of its oxygen in about {usual} days ({least} at the fastest); no door shuts so well. The use is a ceiling from large tortoises.',
        { usual, least },
      )
    }
    case 'missing': {
      const missing = [
        left.litres ? say('the litres of free air in {place}', { place }) : '',
        left.masses.length > 0
          ? say('the {part} of {list}', {
              part: left.masses.length > 1 ? say('weights') : say('weight'),
              list: listWords(left.masses),
            })
          : '',
        left.celsius ? say('a fresh temperature') : '',
      ].filter((one) => one !== '')
      return say('How soon the air inside is used up is not known. Missing: {missing}.', {
        missing: missing.join('; '),
      })
    }
    default:
      return left satisfies never
  }
}

/** To two figures: the source is no more exact. */
const roughly = (days: number): number => Number(days.toPrecision(2))

const listWords = (names: readonly string[]): string =>
  names.length < 2
    ? names.join('')
    : say('{names} and {names2}', { names: names.slice(0, -1).join(', '), names2: names.at(-1) })
