import type { MassFigures, PhaseBand, SeasonFigures, SpeciesProfile } from '../../schemas/species.ts'
import { asForTortoises, derived, practice, secondHand, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { usualCare, usualMass } from './usual-season.ts'
import { say } from '../words/say.ts'

/** What pond turtles that winter in or beside water share. Hatchlings that were frozen and lived are no limit. */
export const pondTurtleHold: PhaseBand = temperatures({
  lowCritical: derived(1, `Derived: no ice; water of 3 °C was lived in for six months (${sources.ultsch})`),
  low: derived(2, `Derived: water of 3 to 6 °C (${sources.ernst}) less 1 K of swing`),
  high: derived(
    7,
    `Derived: water of 3 to 6 °C (${sources.ernst}) and 1 K of swing; lenient: a refrigerator of 4 to 8 °C (${sources.rabeling}) and 1 K`,
    9,
  ),
  highCritical: derived(10, `Derived: as for tortoises, metabolism climbs above it (${sources.forbes})`),
})

export const pondTurtleActive: PhaseBand = temperatures({
  lowCritical: derived(1, `Derived from the hold: no ice (${sources.ultsch})`),
})

export const pondTurtleSeason = {
  ...usualCare,
  warm: derived(20, `Derived: a room of 20 °C, from which 5 K a week lead to the hold (${sources.hedley})`),
  aim: derived(5, `Derived: inside 3 to 6 °C (${sources.ernst}) and 4 to 8 °C (${sources.rabeling})`),
  usualWeeks: practice(12, `${sources.keepers}: 12 to 16 weeks`),
  mostWeeks: practice(16, `${sources.keepers}: 12 to 16 weeks`),
  fastWeeks: secondHand(3, `${sources.stol}: two to three weeks, the longer taken; lenient: the shorter`, 2),
  warmUpDays: asForTortoises(derived(2, `room temperature until it moves, ${sources.ukVets}`)),
  firstMealDays: asForTortoises(derived(1, `once urates have passed, ${sources.ukVets}`)),
} satisfies SeasonFigures

export const pondTurtleMass: MassFigures = usualMass

export const pondTurtleNotes: SpeciesProfile['notes'] = [
  {
    text: say('Shallow clean water, or damp moss.'),
    source: sources.keepers,
    evidence: 'commonPractice',
  },
  {
    text: say('From a shell of 10 cm; outside only in a pond at least 1 m deep.'),
    source: sources.stol,
    evidence: 'secondHand',
  },
  {
    text: say('Most turtles that were tried took no water from wet soil: they must be able to lie in it.'),
    source: sources.costanzoTurtles,
    evidence: 'read',
  },
]
