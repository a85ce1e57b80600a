import type { MassFigures } from '../../schemas/species.ts'
import { derived } from './figures.ts'
import { sources } from './sources.ts'
import { usualCare, usualMass } from './usual-season.ts'

/** How amphibians that are cooled are cared for. */
export const amphibianCare = {
  ...usualCare,
  warm: derived(
    15,
    `Derived: an unheated room in autumn, from which 5 K a week lead to the hold (${sources.hedley})`,
  ),
  warmUpDays: derived(7, `Derived: the shortest that keepers give snakes (${sources.keepers})`),
  firstMealDays: derived(3, `Derived: garter snakes eat nothing for three days (${sources.hawley})`),
}

/** In moist soil they take water up. */
export const amphibianMass: MassFigures = { ...usualMass, gainIsUsual: true }
