import { days, later } from '../../../schemas/amounts.ts'
import type { ConditionNow } from '../../../schemas/condition.ts'
import type { PlanStep } from '../../../schemas/animal.ts'
import type { Instant } from '../../../schemas/units.ts'
import { straightLine } from '../straight-line.ts'
import type { Subject } from '../subject.ts'
import { stepOf, weighInsOf } from '../weigh-ins.ts'

/** Where no feeding up is planned: the last weigh-ins of so long. Derived. */
const usualSpan = days(60)
const msPerWeek = 7 * 86_400_000

/** Through the weigh-ins since feeding up began and before the fast; three or more. */
export function trendOf(subject: Subject): ConditionNow['trend'] {
  const { from, to } = spanOf(subject)
  const lines = weighInsOf(subject).filter(({ at }) => at >= from && at <= to)
  const line = straightLine(
    lines.map(({ at, note }) => ({ x: (at - from) / msPerWeek, y: note.grams })),
    Math.max(0, ...lines.map(stepOf)),
  )
  if (line === null || line.interval === null) return null
  return {
    from,
    weighIns: line.points,
    gramsPerWeek: line.slope,
    low: line.interval.low,
    high: line.interval.high,
  }
}

/** The newest feeding up that has begun, in the draft or in force, until its fast; else the last sixty days. */
function spanOf({ animal, now }: Subject): { readonly from: Instant; readonly to: Instant } {
  const begun = [animal.draft, animal.plan]
    .flatMap((steps) => steps.map((step, i) => ({ ...step, next: steps[i + 1] })))
    .filter(({ phase, from }) => phase === 'feedUp' && from <= now)
    .toSorted((a, b) => b.from - a.from)[0]
  if (begun === undefined || isLongOver(begun.next, now))
    return { from: later(now, -Math.min(usualSpan, now)), to: now }
  return { from: begun.from, to: begun.next === undefined || begun.next.from > now ? now : begun.next.from }
}

/** A feeding up of an earlier year says nothing of this one. */
const isLongOver = (next: PlanStep | undefined, now: Instant): boolean =>
  next !== undefined && now - next.from > days(180)
