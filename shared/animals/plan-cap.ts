import type { Figure } from '../../schemas/species.ts'
import { isYoung } from './age.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'

/** The longest hold that may be planned for an animal (S3). */
export interface PlanCap {
  readonly days: number
  readonly weeks: number
  /** By the stricter of the published figures, days. */
  readonly strictDays: number
  readonly why: 'first' | 'young' | 'adult'
  readonly figure: Figure
}

/**
 * Null for a species without a season: it must never go down. `unknownIs`: what an animal is taken for of which nobody
 * said whether it has wintered before. A plan takes it for one of the first winter, which is the shorter; a hold that
 * runs already is not called too long for want of a tick in a form.
 */
export function planCapOf(subject: Subject, unknownIs: 'first' | 'wintered' = 'first'): PlanCap | null {
  const { profile, guidance } = subject
  if (profile.season === undefined) return null
  const { mostWeeks, youngMostWeeks } = profile.season
  const why = isFirstHold(subject, unknownIs) ? 'first' : isYoung(subject) ? 'young' : 'adult'
  const own = why === 'adult' ? mostWeeks : (youngMostWeeks ?? mostWeeks)
  const weeksBy = (chosen: Subject['guidance']): number =>
    Math.min(figureOf(own, chosen), figureOf(mostWeeks, chosen))
  const weeks = weeksBy(guidance)
  const figure = weeks < figureOf(own, guidance) ? mostWeeks : own
  return { days: wholeDays(weeks), weeks, strictDays: wholeDays(weeksBy('strict')), why, figure }
}

const isFirstHold = ({ animal, history, now }: Subject, unknownIs: 'first' | 'wintered'): boolean =>
  !(animal.hasWintered ?? unknownIs === 'wintered') &&
  !linesOf(history, 'warmingBegan').some(({ at }) => at <= now)

/** A hold that is longer by a part of a day is longer. */
const wholeDays = (weeks: number): number => Math.floor(weeks * 7 + 1e-9)
