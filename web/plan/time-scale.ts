import { instant } from '../../schemas/amounts.ts'
import type { PlanStep } from '../../schemas/animal.ts'
import type { SeasonRow } from '../../schemas/season.ts'
import { addDays, daysBetween, localDate, wallInstant } from '../../shared/time/wall.ts'

/** The stretch of days that the time line shows. Shares of it are 0 at its first day and 1 at the end of its last. */
export interface TimeScale {
  readonly first: string
  readonly last: string
  /** Where an instant lies, not cut off at the ends. */
  share(at: number): number
  /** The first day of each month inside. */
  readonly months: readonly { readonly date: string; readonly share: number }[]
  readonly dayShare: number
}

/** Whether every step lies where it can be seen and taken hold of. */
export const isInside = (scale: TimeScale, steps: readonly PlanStep[]): boolean =>
  steps.every(({ from }) => scale.share(from) > 0 && scale.share(from) < 1)

const marginDays = 14
/** Shorter, and a day is moved by a hair's breadth too far. */
const leastDays = 120

/** From a little before the first phase of anybody to a little after the last; today is always in it. */
export function timeScale(
  rows: readonly Pick<SeasonRow, 'plan' | 'draft'>[],
  season: { readonly from: number; readonly to: number },
  now: number,
  zone: string,
): TimeScale {
  const starts = rows
    .flatMap(({ plan, draft }) => [...plan, ...draft])
    .map(({ from }) => from)
    .filter((at) => at >= season.from && at <= season.to)
  const dates = [now, ...starts].map((at) => localDate(instant(at), zone)).toSorted()
  const today = localDate(instant(now), zone)
  const first = addDays(dates[0] ?? today, -marginDays)
  const wanted = addDays(dates.at(-1) ?? today, marginDays + 7)
  const last = daysBetween(first, wanted) < leastDays ? addDays(first, leastDays) : wanted
  const from = wallInstant(first, '00:00', zone)
  const to = wallInstant(addDays(last, 1), '00:00', zone)
  const share = (at: number): number => (at - from) / (to - from)
  return {
    first,
    last,
    share,
    months: monthsIn(first, last).map((date) => ({ date, share: share(wallInstant(date, '00:00', zone)) })),
    dayShare: 1 / (daysBetween(first, last) + 1),
  }
}

function monthsIn(first: string, last: string): readonly string[] {
  const found: string[] = []
  for (let date = firstOfNextMonth(first); date <= last; date = firstOfNextMonth(date)) found.push(date)
  return found
}

const firstOfNextMonth = (date: string): string => `${addDays(`${date.slice(0, 7)}-01`, 31).slice(0, 7)}-01`
