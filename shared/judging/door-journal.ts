import { millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { durationWords } from '../telling/words.ts'
import { type DoorOpened, sameOpening } from '../thermal/door-contact.ts'
import type { Draft } from './raising.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** An opening of a door, by the air's jump or by a contact's word. */
export interface Opening {
  readonly from: Instant
  readonly to: Instant
  /** By how much the air warmed, K, and how long it took to be nearly back; null where the air was not asked. */
  readonly rise: number | null
  readonly recovery: Millis | null
  readonly by: 'air' | 'contact'
}

/**
 * Writes a line for each opening; what another sensor of this fridge has seen already is not written twice. A contact tells
 * when it closes, the air once it is back: what it did to the air is then a second line with the contact's own times, for no
 * line of the journal changes. `openingsOnce` makes one of the two.
 */
export function noteOpening(draft: Draft, s: number, p: number, opening: Opening): void {
  const witness = witnessOf(draft, s, p, opening)
  if (witness === null) return write(draft, p, opening, textOf(opening))
  if (witness.by === 'air' || opening.by === 'contact') return
  const { from, to } = witness.opened
  write(draft, witness.place, { ...opening, from, to }, completedText(opening, millis(to - from)))
}

interface Witness {
  readonly place: number
  readonly by: Opening['by']
  readonly opened: DoorOpened
}

/** Who of this fridge has told of the same opening; the air before a contact. */
function witnessOf(draft: Draft, s: number, p: number, opening: Opening): Witness | null {
  const { layout, sensors } = draft.state
  const here = layout.places[p]
  let contact: Witness | null = null
  for (const place of [...(here?.within ?? []), ...(here?.around ?? [])])
    for (const other of layout.places[place]?.sensors ?? []) {
      const { temperature, door } = sensors[other]?.series ?? {}
      const air = temperature?.thermal?.opened ?? null
      if (air !== null && !(other === s && opening.by === 'air') && isSame(opening, air))
        return { place, by: 'air', opened: air }
      const word = door?.thermal?.opened ?? null
      if (word !== null && !(other === s && opening.by === 'contact') && isSame(opening, word))
        contact = { place, by: 'contact', opened: word }
    }
  return contact
}

const isSame = ({ from, to }: Opening, opened: DoorOpened): boolean =>
  sameOpening({ from, to, rise: 0, recovery: null }, opened) !== null

function write(draft: Draft, p: number, { from, to, rise, recovery }: Opening, text: string): void {
  const here = draft.state.layout.places[p]
  if (here === undefined) return
  draft.effects.push({
    kind: 'journal',
    entry: {
      at: from,
      kind: 'doorOpened',
      by: 'brumal',
      place: here.place.id,
      until: to,
      ...(rise === null ? {} : { rise: Math.round(rise * 100) / 100 }),
      ...(recovery === null ? {} : { recovery }),
      text,
    },
  })
}

function textOf({ from, to, rise, recovery, by }: Opening): string {
  const lasted = durationWords(to - from)
  if (by === 'contact') return say('By its contact, for {lasted}.', { lasted })
  return say('Open for {lasted} at most; {air}.', { lasted, air: airWords(rise, recovery) })
}

const completedText = ({ rise, recovery }: Opening, lasted: Millis): string =>
  say('By its contact, for {duration}; {air}.', {
    duration: durationWords(lasted),
    air: airWords(rise, recovery),
  })

function airWords(rise: number | null, recovery: Millis | null): string {
  const back =
    recovery === null
      ? ''
      : say(' and was nearly back {duration} later', { duration: durationWords(recovery) })
  return say('the air warmed by {part} K{back}', { part: inReadersDigits((rise ?? 0).toFixed(1)), back })
}
