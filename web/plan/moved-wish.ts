import { instant } from '../../schemas/amounts.ts'
import type { PlanStep, PlanWish } from '../../schemas/animal.ts'
import { addDays, daysBetween, localDate } from '../../shared/time/wall.ts'
import { startOf } from './segments.ts'

/** What of a plan is taken hold of: all of it, the day the hold begins, or the day the waking begins. */
export type Handle = 'all' | 'hold' | 'wake'

/** The local dates between which the hold lies; null where the steps have none. */
export function holdDates(
  steps: readonly PlanStep[],
  zone: string,
): { readonly hold: string; readonly wake: string } | null {
  const [hold, wake] = [startOf(steps, 'hold'), startOf(steps, 'warmUp')]
  if (hold === null || wake === null) return null
  return { hold: localDate(instant(hold), zone), wake: localDate(instant(wake), zone) }
}

/** The wish after a handle was moved by whole days; null where nothing would be left of the hold. */
export function movedWish(
  steps: readonly PlanStep[],
  handle: Handle,
  days: number,
  zone: string,
): PlanWish | null {
  const dates = holdDates(steps, zone)
  if (dates === null) return null
  const hold = handle === 'wake' ? dates.hold : addDays(dates.hold, days)
  const wake = handle === 'hold' ? dates.wake : addDays(dates.wake, days)
  const length = daysBetween(hold, wake)
  if (length < 1) return null
  return { by: 'hold', on: hold, weeks: length / 7 }
}
