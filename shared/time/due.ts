import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate, wallInstant } from './wall.ts'

/** What is done once a day at `at` (`HH:MM`) by the clocks of `zone` (IANA name). */
export interface Daily {
  readonly zone: string
  readonly at: string
}

/**
 * Whether it is due at `now`, and when it is due next after `now`. Each day has one turn: a time that the clocks skip
 * is taken at the first instant after the gap, one that they show twice at its first showing. It is due from its turn on
 * until it is done, so that turns missed are made up for by one; what was never done is due at once.
 */
export function dailyDue(
  now: Instant,
  daily: Daily,
  lastDoneAt: Instant | null,
): { readonly isDue: boolean; readonly nextAt: Instant } {
  const today = localDate(now, daily.zone)
  let turn: Instant | null = null
  // Two days each way: a whole calendar day may be skipped where a zone crosses the date line.
  for (let ahead = -2; ahead <= 2; ahead++) {
    const next = wallInstant(addDays(today, ahead), daily.at, daily.zone)
    if (next > now) return { isDue: turn === null || lastDoneAt === null || lastDoneAt < turn, nextAt: next }
    turn = next
  }
  throw new RangeError(`no ${daily.at} within two days in ${daily.zone}`)
}
