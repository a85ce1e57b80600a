import { days } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'

/** The cold stretch that an animal is in now. */
export interface Cold {
  /** Since when it is cooled: the first cold phase of this winter. */
  readonly downAt: Instant
  /** When its hold begins or began; null: none is planned. */
  readonly holdFrom: Instant | null
  /** When the plan ends the cold; null: not planned. */
  readonly endsAt: Instant | null
  /** Weigh-ins from here on count as made in the fast: the plan's fast, else the profile's weeks before the cold. */
  readonly fastFrom: Instant
}

/**
 * Null while it is not down. The plan in force says so; on the day planned it warms by itself, though nobody may
 * have: until somebody began to warm it (diary), or it is awake by plan, it counts as down.
 */
export function coldOf({ animal, profile, guidance, history, now }: Subject): Cold | null {
  const { plan } = animal
  const current = plan.findLastIndex(({ from }) => from <= now)
  const isPastEnd = plan[current]?.phase === 'warmUp'
  const lastCold = isPastEnd ? current - 1 : current
  if (!isCold(plan[lastCold]?.phase)) return null
  const firstCold = plan.findLastIndex(({ phase }, i) => i < lastCold && !isCold(phase)) + 1
  const downAt = plan[firstCold]?.from ?? now
  if (isPastEnd && linesOf(history, 'warmingBegan').some(({ at }) => at >= downAt && at <= now)) return null
  const ends = plan.find(({ phase }, i) => i > firstCold && !isCold(phase))
  const hold = plan
    .slice(firstCold)
    .find(({ phase, from }) => phase === 'hold' && (ends === undefined || from < ends.from))
  const before = plan[firstCold - 1]
  const weeks = profile.season === undefined ? usualFastWeeks : figureOf(profile.season.fastWeeks, guidance)
  return {
    downAt,
    holdFrom: hold?.from ?? null,
    endsAt: ends?.from ?? null,
    fastFrom: before?.phase === 'fast' ? before.from : (Math.max(0, downAt - days(7 * weeks)) as Instant),
  }
}

/** Where the profile names none: four weeks are twice the gut's retention of 14 days (Barboza 1995). */
const usualFastWeeks = 4

const isCold = (phase: string | undefined): boolean => phase === 'coolDown' || phase === 'hold'
