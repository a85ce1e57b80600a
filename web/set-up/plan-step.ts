import type { PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'
import { wallInstant } from '../../shared/time/wall.ts'

/**
 * A plan in which `phase` holds from noon of a local day: what the plan holds before that day stays, later steps go.
 * Noon, because every day has exactly one.
 */
export function planWith(plan: readonly PlanStep[], phase: Phase, day: string, zone: string): PlanStep[] {
  const dayBegins = wallInstant(day, '00:00', zone)
  return [...plan.filter((step) => step.from < dayBegins), { phase, from: wallInstant(day, '12:00', zone) }]
}
