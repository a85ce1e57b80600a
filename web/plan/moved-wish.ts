import { instant } from '../../schemas/amounts.ts'
import type { PlanStep, PlanWish } from '../../schemas/animal.ts'
import { addDays, daysBetween, localDate } from '../../shared/time/wall.ts'
import { startOf } from './segments.ts'

/** What of a plan is taken hold of: all of it, the day the hold begins, or the day the waking begins. */
export type Handle = 'all' | 'hold' | 'wake'

/** The local dates between which the hold lies. */
export interface HoldDates {
  readonly hold: string
  readonly wake: string
}

/** By the steps; null where they have no hold. */
export function holdDates(steps: readonly PlanStep[], zone: string): HoldDates | null {
  const [hold, wake] = [startOf(steps, 'hold'), startOf(steps, 'warmUp')]
  if (hold === null || wake === null) return null
  return { hold: localDate(instant(hold), zone), wake: localDate(instant(wake), zone) }
}

/** By the wish itself where it says both ends: what was moved last counts before anybody has reckoned with it. */
export function wishedDates(wish: PlanWish, steps: readonly PlanStep[], zone: string): HoldDates | null {
  if (wish.weeks === undefined) return holdDates(steps, zone)
  const length = Math.max(1, Math.round(wish.weeks * 7))
  return wish.by === 'hold'
    ? { hold: wish.on, wake: addDays(wish.on, length) }
    : { hold: addDays(wish.on, -length), wake: wish.on }
}

/** The wish after a handle was moved by whole days; null where nothing would be left of the hold. */
export function movedWish(dates: HoldDates, handle: Handle, days: number): PlanWish | null {
  const hold = handle === 'wake' ? dates.hold : addDays(dates.hold, days)
  const wake = handle === 'hold' ? dates.wake : addDays(dates.wake, days)
  const length = daysBetween(hold, wake)
  return length < 1 ? null : { by: 'hold', on: hold, weeks: Math.min(40, length / 7) }
}
