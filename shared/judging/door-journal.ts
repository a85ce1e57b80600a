import type { Instant, Millis } from '../../schemas/units.ts'
import { durationWords } from '../telling/words.ts'
import { sameOpening } from '../thermal/door-contact.ts'
import type { Draft } from './raising.ts'

/** An opening of a door, by the air's jump or by a contact's word. */
export interface Opening {
  readonly from: Instant
  readonly to: Instant
  /** By how much the air warmed, K, and how long it took to be nearly back; null where the air was not asked. */
  readonly rise: number | null
  readonly recovery: Millis | null
  readonly by: 'air' | 'contact'
}

/** Writes one line for each opening; what another sensor of this fridge has seen already is not written twice. */
export function noteOpening(draft: Draft, s: number, p: number, opening: Opening): void {
  const here = draft.state.layout.places[p]
  if (here === undefined) return
  for (const place of [...here.within, ...here.around])
    for (const other of draft.state.layout.places[place]?.sensors ?? []) {
      const { temperature, door } = draft.state.sensors[other]?.series ?? {}
      for (const [one, by] of [
        [temperature?.thermal?.opened, 'air'],
        [door?.thermal?.opened, 'contact'],
      ] as const) {
        if (one === null || one === undefined || (other === s && by === opening.by)) continue
        const seen = { from: opening.from, to: opening.to, rise: 0, recovery: null }
        if (sameOpening(seen, one) !== null) return
      }
    }
  const { from, to, rise, recovery } = opening
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
      text: textOf(opening),
    },
  })
}

function textOf({ from, to, rise, recovery, by }: Opening): string {
  const lasted = durationWords(to - from)
  if (by === 'contact') return `By its contact, for ${lasted}.`
  const back = recovery === null ? '' : ` and was nearly back ${durationWords(recovery)} later`
  return `Open for ${lasted} at most; the air warmed by ${(rise ?? 0).toFixed(1)} K${back}.`
}
