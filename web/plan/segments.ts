import type { PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'

/** One phase as it is drawn; `to` null: until further notice. */
export interface Segment {
  readonly phase: Phase
  readonly from: number
  readonly to: number | null
}

/** Phases as stretches; being awake is drawn as nothing. */
export const segmentsOf = (steps: readonly PlanStep[]): readonly Segment[] =>
  steps
    .map(({ phase, from }, i) => ({ phase, from, to: steps[i + 1]?.from ?? null }))
    .filter(({ phase }) => phase !== 'awake')

/** Where a phase begins; null where the steps have none. */
export const startOf = (steps: readonly PlanStep[], phase: Phase): number | null =>
  steps.find((step) => step.phase === phase)?.from ?? null
