import type { PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { stretchesOf } from './stretch.ts'

/** A time in the cold; `to` is null while no end is planned. */
export interface ColdSpan {
  readonly from: Instant
  readonly to: Instant | null
}

/** The times from `now` on in which these steps keep the animal cool or in hold, each as long as it goes. */
export const coldAhead = (steps: readonly PlanStep[], now: Instant): readonly ColdSpan[] =>
  spansAhead(steps, now, ['coolDown', 'hold'])

/** The times from `now` on in which they keep it in hold. */
export const holdAhead = (steps: readonly PlanStep[], now: Instant): readonly ColdSpan[] =>
  spansAhead(steps, now, ['hold'])

function spansAhead(steps: readonly PlanStep[], now: Instant, phases: readonly Phase[]): readonly ColdSpan[] {
  const spans: ColdSpan[] = []
  for (const { phase, from, to } of stretchesOf(steps)) {
    if (!phases.includes(phase) || (to !== null && to <= now)) continue
    const start = Math.max(from, now) as Instant
    const last = spans.at(-1)
    if (last !== undefined && last.to === start) spans[spans.length - 1] = { from: last.from, to }
    else spans.push({ from: start, to })
  }
  return spans
}

/** Whether every cold moment of the one is one of the other. */
export const isWithin = (one: readonly ColdSpan[], other: readonly ColdSpan[]): boolean =>
  one.every(({ from, to }) =>
    other.some((span) => span.from <= from && (span.to === null || (to !== null && to <= span.to))),
  )

export const isColdAt = (steps: readonly PlanStep[], at: Instant): boolean =>
  coldAhead(steps, at).some(({ from }) => from <= at)
