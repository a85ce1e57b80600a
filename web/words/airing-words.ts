import { instant } from '../../schemas/amounts.ts'
import type { LastAiring, OxygenLeft } from '../../shared/season/airing.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import type { Told } from './thermal-words.ts'

/** When fresh air last came in, or since when it has not. `knownFrom`: how far back the journal was read. */
export function airingWords(
  last: LastAiring | null,
  { isOpen, knownFrom }: { readonly isOpen: boolean; readonly knownFrom: number },
  { tell, now, zone }: Told,
): string {
  if (isOpen) return 'The door is open: it is being aired now.'
  if (last === null)
    return `Not aired since ${tell.when(knownFrom, now, zone)} at least: no opening was seen.`
  const day = (at: number): string => localDate(instant(at), zone)
  const ago = daysBetween(day(last.at), day(now))
  return `Last aired ${tell.dayAt(last.at, now, zone)}${ago > 1 ? `, ${tell.count(ago)} days ago` : ''}.`
}

/** How soon those inside use up the air, or which figures are missing to say so; null where nobody breathes in there. */
export function oxygenWords(left: OxygenLeft, place: string, { tell }: Pick<Told, 'tell'>): string | null {
  switch (left.kind) {
    case 'nobody':
      return null
    case 'known': {
      const [usual, least] = [left.days, left.leastDays].map((days) => tell.count(roughly(days)))
      return `Shut tight, this air would lose one point of its oxygen in about ${usual} days (${least} at the fastest); no door shuts so well. The use is a ceiling from large tortoises.`
    }
    case 'missing': {
      const missing = [
        left.litres ? `the litres of free air in ${place}` : '',
        left.masses.length > 0
          ? `the ${left.masses.length > 1 ? 'weights' : 'weight'} of ${listWords(left.masses)}`
          : '',
        left.celsius ? 'a fresh temperature' : '',
      ].filter((one) => one !== '')
      return `How soon the air inside is used up is not known. Missing: ${missing.join('; ')}.`
    }
    default:
      return left satisfies never
  }
}

/** To two figures: the source is no more exact. */
const roughly = (days: number): number => Number(days.toPrecision(2))

const listWords = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
