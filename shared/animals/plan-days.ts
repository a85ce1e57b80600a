import type { PlanStep, PlanWish } from '../../schemas/animal.ts'
import type { Phase, SeasonFigures } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, daysBetween, localDate, wallInstant } from '../time/wall.ts'
import type { PlanCap } from './plan-cap.ts'
import { figureOf, type Subject } from './subject.ts'

/** Every phase of a winter with the local date on which it begins; a phase without a length is left out. */
export interface PlanDay {
  readonly phase: Phase
  readonly on: string
}

/** The winter reckoned back from the wish, its hold never longer than the cap. */
export function planDays(subject: Subject, season: SeasonFigures, cap: PlanCap, wish: PlanWish): PlanDay[] {
  const of = (figure: SeasonFigures['warm']): number => figureOf(figure, subject.guidance)
  const hold = Math.min(holdDaysOf(wish.weeks ?? of(season.usualWeeks)), cap.days)
  const cool = coolDaysOf(of(season.warm), of(season.aim), of(season.coolPerWeek))
  const fast = wholeDays(of(season.fastWeeks) * 7)
  const feedUp = season.feedUpWeeks === undefined ? 0 : wholeDays(of(season.feedUpWeeks) * 7)
  const holdOn = wish.by === 'hold' ? wish.on : addDays(wish.on, -hold)
  const coolOn = addDays(holdOn, -cool)
  const wakeOn = addDays(holdOn, hold)
  const all: readonly (PlanDay & { readonly lasts: number })[] = [
    { phase: 'feedUp', on: addDays(coolOn, -fast - feedUp), lasts: feedUp },
    { phase: 'fast', on: addDays(coolOn, -fast), lasts: fast },
    { phase: 'coolDown', on: coolOn, lasts: cool },
    { phase: 'hold', on: holdOn, lasts: hold },
    { phase: 'warmUp', on: wakeOn, lasts: Math.max(1, wholeDays(of(season.warmUpDays))) },
    { phase: 'awake', on: addDays(wakeOn, Math.max(1, wholeDays(of(season.warmUpDays)))), lasts: 1 },
  ]
  return all.filter(({ lasts }) => lasts > 0).map(({ phase, on }) => ({ phase, on }))
}

/** A phase begins at local noon: every day has exactly one, also where the clocks change. */
export const noonOf = (date: string, timeZone: string): Instant => wallInstant(date, '12:00', timeZone)

export const stepsOf = (days: readonly PlanDay[], timeZone: string): PlanStep[] =>
  days.map(({ phase, on }) => ({ phase, from: noonOf(on, timeZone) }))

/** Whether these days can be reckoned with: marks lie a year before and after them at most, and a date has four digits. */
export const isInReach = (steps: readonly PlanStep[]): boolean =>
  steps.every(({ from }) => from >= firstReach && from < lastReach)

const firstReach = Date.UTC(1975, 0)
/** Left out. */
export const lastReach = Date.UTC(9990, 0)

/** Days of cooling from the warm to the aim. */
export const coolDaysOf = (warm: number, aim: number, perWeek: number): number =>
  Math.max(1, wholeDays(((warm - aim) / perWeek) * 7))

/** When a phase of these steps begins first; null: it never does. */
export const firstOf = (steps: readonly PlanStep[], phase: Phase): PlanStep | null =>
  steps.find((step) => step.phase === phase) ?? null

/** From the first hold until it is warmed or awake; `to` null where that is not planned. */
export function holdOf(steps: readonly PlanStep[]): { from: Instant; to: Instant | null } | null {
  const first = firstOf(steps, 'hold')
  if (first === null) return null
  const end = steps.find(({ phase, from }) => from > first.from && !coldPhases.has(phase))
  return { from: first.from, to: end?.from ?? null }
}

/** Calendar days, so that the nights on which clocks change neither lengthen nor shorten a hold. */
export const daysFrom = (from: Instant, to: Instant, timeZone: string): number =>
  daysBetween(localDate(from, timeZone), localDate(to, timeZone))

const coldPhases: ReadonlySet<Phase> = new Set(['coolDown', 'hold'])

/** A wish of 8.4 weeks is 59 days. */
const holdDaysOf = (weeks: number): number => Math.max(1, Math.round(weeks * 7))

/** A begun day is a day more: what must last at least so long does. */
const wholeDays = (days: number): number => Math.ceil(days - 1e-9)
