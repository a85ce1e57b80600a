import type { Figure, MassFigures, PhaseBand } from '../../schemas/species.ts'
import { minutes } from '../../schemas/amounts.ts'
import { derived, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { usualCare, usualMass } from './usual-season.ts'

/** How lizards that are cooled are cared for. */
export const lizardCare = {
  ...usualCare,
  warm: derived(20, `Derived: a room of 20 °C without lamps, from which it is cooled (${sources.hedley})`),
  warmUpDays: derived(7, `Derived: the shortest that keepers give snakes (${sources.keepers})`),
  firstMealDays: derived(3, `Derived: garter snakes eat nothing for three days (${sources.hawley})`),
}

export const lizardMass: MassFigures = usualMass

/** What would be too cold in its rest is too cold awake; nights of a keeper's room are no harm. */
export const awakeAbove = (lowCritical: Figure): PhaseBand =>
  temperatures({
    lowCritical: { ...lowCritical, source: `As in its rest: ${lowCritical.source}` },
  })

/** Warmth ends a rest and does no harm within the hour: a design choice. */
export const restWarmFor = minutes(60)
