import type { MassFigures, PhaseBand, SeasonFigures, SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { tortoiseCare, tortoiseMass } from './usual-season.ts'
import { say } from '../words/say.ts'

/** What American box turtles share. Ice that they have been seen to survive is no limit: nobody plans on it. */
export const terrapeneHold: PhaseBand = temperatures({
  lowCritical: derived(
    1,
    `Derived: safely above freezing; shells of wild ones stayed above 0 °C (${sources.milanovich})`,
  ),
  low: derived(3, `Derived: 4 to 10 °C (${sources.keepers}) less 1 K of swing`),
  high: derived(11, `Derived: 4 to 10 °C (${sources.keepers}) and 1 K of swing`),
  highCritical: practice(13, sources.keepers),
})

export const terrapeneActive: PhaseBand = temperatures({
  lowCritical: derived(
    1,
    `Derived: safely above freezing; shells of wild ones stayed above 0 °C (${sources.milanovich})`,
  ),
})

export const terrapeneSeason = {
  ...tortoiseCare,
  warm: derived(20, `Derived: a room of 20 °C, from which 5 K a week lead to the hold (${sources.hedley})`),
  aim: derived(6, `Derived: the colder half of 4 to 10 °C (${sources.keepers})`),
  usualWeeks: practice(12, `${sources.keepers}: 10 to 14 weeks`),
  mostWeeks: practice(14, `${sources.keepers}: 10 to 14 weeks`),
  fastWeeks: practice(3, `${sources.keepers}: two to three weeks, the longer taken; lenient: the shorter`, 2),
  warmUpDays: derived(2, `Derived: as for tortoises, at room temperature until it moves (${sources.ukVets})`),
  firstMealDays: derived(1, `Derived: as for tortoises, once urates have passed (${sources.ukVets})`),
} satisfies SeasonFigures

export const terrapeneMass: MassFigures = tortoiseMass

export const terrapeneNotes: SpeciesProfile['notes'] = [
  {
    text: say('Damp leaf litter or moss over soil; water to drink and lie in on waking.'),
    source: `${sources.keepers}; ${sources.costanzoTurtles}`,
    evidence: 'commonPractice',
  },
  {
    text: say('Adults of good weight only.'),
    source: sources.keepers,
    evidence: 'commonPractice',
  },
  {
    text: say(
      'Mass with the width of the shell told the fat best; no published figure to judge by was found.',
    ),
    source: sources.boxTurtleFat,
    evidence: 'read',
  },
]
