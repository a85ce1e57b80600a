import type { MassFigures } from '../../schemas/species.ts'
import { derived, practice } from './figures.ts'
import { sources } from './sources.ts'
import { usualCare, usualMass } from './usual-season.ts'

/** How snakes that are cooled are cared for. */
export const snakeCare = {
  ...usualCare,
  warmUpDays: practice(14, `${sources.keepers}: one to three weeks`),
  firstMealDays: practice(7, `${sources.keepers}: a small meal about a week after normal heat`),
}

/** Garter snakes lost nothing that could be weighed in 165 days: whatever a snake loses is water or illness. */
export const snakeMass: MassFigures = {
  ...usualMass,
  monthlyPercent: derived(
    1,
    `Derived: as for tortoises (${sources.forbes}); garter snakes lost nothing in 165 days at 4 °C (${sources.costanzo})`,
  ),
}
