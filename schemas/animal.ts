import { z } from 'zod'
import { AnimalId, PlaceId, SpeciesId } from './ids.ts'
import { Phase } from './species.ts'
import { Instant } from './units.ts'

/** From when a phase holds; it lasts until the next step. */
export const PlanStep = z.strictObject({ phase: Phase, from: Instant })
export type PlanStep = z.infer<typeof PlanStep>

export const Animal = z.strictObject({
  id: AnimalId,
  name: z.string().min(1).max(60),
  species: SpeciesId,
  place: PlaceId.nullable(),
  /** What this winter holds for the animal. */
  mode: z.enum(['goesDown', 'staysAwake']),
  /** Phases in order of time; empty means awake throughout. */
  plan: z.array(PlanStep).max(40).default([]).refine(isAscending, 'plan steps must be in order of time'),
})
export type Animal = z.infer<typeof Animal>

function isAscending(steps: readonly PlanStep[]): boolean {
  return steps.every((step, i) => i === 0 || step.from > (steps[i - 1]?.from ?? step.from))
}
