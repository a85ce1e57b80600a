import { days } from '../../../schemas/amounts.ts'
import type { MassNow } from '../../../schemas/condition.ts'
import type { Figure, Guidance } from '../../../schemas/species.ts'
import type { Instant } from '../../../schemas/units.ts'
import { figureOf } from '../subject.ts'
import { type Loss, monthDays } from './loss.ts'
import { isScaleTooCoarse } from './rules.ts'

/** Nothing is told of what lies further ahead than a winter. */
const farthest = days(365)

/**
 * When the total limit is met if it goes on as since entry, from the last weigh-in at the rate of the line and
 * at both ends of its 95 % interval. Null: it is met already, it does not lose, or the weigh-ins are too few or
 * too coarse for an interval.
 */
export function meetsTotalOf(loss: Loss, figure: Figure, guidance: Guidance): MassNow['meetsTotal'] {
  const { monthly, last, lostPercent } = loss
  if (monthly === null || monthly.low === null || monthly.high === null || isScaleTooCoarse(loss)) return null
  const left = figureOf(figure, guidance) - lostPercent
  if (left <= 0 || monthly.percent <= 0) return null
  const when = (percent: number): Instant | null => {
    const ms = percent > 0 ? Math.round((left / percent) * days(monthDays)) : Number.POSITIVE_INFINITY
    return ms > farthest ? null : ((last.at + ms) as Instant)
  }
  const [soonest, likely] = [when(monthly.high), when(monthly.percent)]
  return soonest === null || likely === null ? null : { soonest, likely, latest: when(monthly.low) }
}
