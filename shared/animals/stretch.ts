import type { PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'

/** One phase of a plan or a draft from its first instant to the next phase; `to` is null while none follows. */
export interface Stretch {
  readonly phase: Phase
  readonly from: Instant
  readonly to: Instant | null
}

export const stretchesOf = (steps: readonly PlanStep[]): readonly Stretch[] =>
  steps.map((step, i) => ({ phase: step.phase, from: step.from, to: steps[i + 1]?.from ?? null }))

/** The last stretch of that phase that is not yet over, or has just been; else the last of all. */
export const stretchOf = (steps: readonly PlanStep[], phase: Phase, now: Instant): Stretch | null => {
  const all = stretchesOf(steps).filter((one) => one.phase === phase)
  return all.find(({ to }) => to === null || to > now) ?? all.at(-1) ?? null
}
