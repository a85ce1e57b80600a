import type { Instant, Millis } from '../../schemas/units.ts'
import { millis, minutes } from '../../schemas/amounts.ts'
import type { DoorSeen } from './door.ts'

/** What a contact on the door has said. Plain data. */
export interface ContactState {
  readonly at: Instant
  /** Null before the first word. */
  readonly open: boolean | null
  /** Since when it stands so; of what was open at the first word, that word's instant. */
  readonly since: Instant
}

export const contactUnknown: ContactState = { at: 0 as Instant, open: null, since: 0 as Instant }

/** An opening by the contact's own times. */
export interface DoorOpened {
  readonly from: Instant
  readonly to: Instant
}

/** Longer open is ajar; exactly as long is not. WHO PQS E006/DS01 alarms on a door open for more than 5 min (second hand). */
export const openTooLong: Millis = minutes(5)

/** Moves by one word of the contact; with it the opening that it ends, else null. Late and repeated words change nothing. */
export function stepContact(
  state: ContactState,
  word: { readonly at: Instant; readonly open: boolean },
): readonly [ContactState, DoorOpened | null] {
  if (state.open !== null && word.at <= state.at) return [state, null]
  if (state.open === word.open) return [{ ...state, at: word.at }, null]
  const next = { at: word.at, open: word.open, since: word.at }
  return [next, state.open === true ? { from: state.since, to: word.at } : null]
}

/** Whether the door stands open at an instant, and since when; `ajar` after more than five minutes. */
export function contactNow(
  state: ContactState,
  at: Instant,
):
  | { readonly name: 'closed' | 'notKnownYet' }
  | { readonly name: 'open' | 'ajar'; readonly from: Instant; readonly lasted: Millis } {
  if (state.open === null) return { name: 'notKnownYet' }
  if (!state.open) return { name: 'closed' }
  const lasted = millis(Math.max(0, at - state.since))
  return { name: lasted > openTooLong ? 'ajar' : 'open', from: state.since, lasted }
}

/** One opening from both witnesses, the contact's times and the air's rise and recovery; null where they are two. */
export function sameOpening(seen: DoorSeen, opened: DoorOpened): DoorSeen | null {
  const isSame = opened.from <= seen.to && opened.to >= seen.from
  return isSame ? { ...seen, from: opened.from, to: opened.to } : null
}

/** An opening as a line of the journal tells it. */
interface OpeningLine {
  readonly at: number
  readonly place?: string | undefined
  readonly rise?: number | undefined
}

/** Each opening once, in the order of `lines`: of two lines about one, at one place and instant, the one that knows the air. */
export function openingsOnce<Line extends OpeningLine>(lines: readonly Line[]): Line[] {
  const found = new Map<string, Line>()
  for (const line of lines) {
    const key = `${line.at} ${line.place ?? ''}`
    const known = found.get(key)
    if (known === undefined || known.rise === undefined) found.set(key, line)
  }
  return [...found.values()]
}
