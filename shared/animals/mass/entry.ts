import { days } from '../../../schemas/amounts.ts'
import { localDate } from '../../time/wall.ts'
import type { Cold } from '../cold.ts'
import type { Subject } from '../subject.ts'
import { type WeighedLine, weighInsOf } from '../weigh-ins.ts'
import { say } from '../../words/say.ts'

/** The weigh-in that losses are counted from. `remark` says what is amiss with it. */
export interface Entry {
  readonly line: WeighedLine
  readonly remark: string | null
}

/**
 * Longer than this before it is cooled, its gut was not empty. Derived: a tortoise keeps its food for 14 days
 * (Barboza 1995).
 */
const entryCountsFor = days(14)

/**
 * The last weigh-in since the fast began and by the day on which the hold begins (while it is still cooled: on
 * which cooling began); the first one after, where there is none. Before its fast it carried food, so that an
 * older one says nothing (common practice).
 */
export function entryOf(subject: Subject, { downAt, holdFrom, fastFrom }: Cold): Entry | null {
  const { now, timeZone } = subject
  const by = holdFrom !== null && holdFrom <= now ? holdFrom : downAt
  const day = localDate(by, timeZone)
  const all = weighInsOf(subject).filter(({ at }) => at >= fastFrom)
  const line = all.findLast(({ at }) => at <= by || localDate(at, timeZone) === day)
  if (line !== undefined) {
    const isOfFast = downAt - line.at > entryCountsFor
    return {
      line,
      remark: isOfFast ? say('It was last weighed early in its fast: part of the loss is food.') : null,
    }
  }
  const first = all.find(({ at }) => at > by)
  if (first === undefined) return null
  return {
    line: first,
    remark: say('It was first weighed after it went down: what it lost before is not seen.'),
  }
}
