import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'

/** Phase of an animal at an instant, with its stretch; `until` is null while no later step is planned. */
export interface PhaseNow {
  readonly phase: Phase
  readonly from: Instant | null
  readonly until: Instant | null
}

export function phaseAt(animal: Animal, at: Instant): PhaseNow {
  let current: PlanStep | null = null
  let next: PlanStep | null = null
  for (const step of animal.plan) {
    if (step.from <= at) current = step
    else {
      next = step
      break
    }
  }
  return { phase: current?.phase ?? 'awake', from: current?.from ?? null, until: next?.from ?? null }
}
