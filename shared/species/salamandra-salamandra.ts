import { SpeciesProfile } from '../../schemas/species.ts'
import { amphibianCare, amphibianMass } from './amphibian-season.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(
  1,
  `Derived: safely above freezing; related salamanders die when frozen (${sources.storey})`,
)

export const salamandraSalamandra = SpeciesProfile.parse({
  id: 'salamandra-salamandra',
  latin: 'Salamandra salamandra',
  common: say('Fire salamander'),
  taxon: 'salamander',
  winter: 'deep',
  weak: true,
  active: awakeAbove(lowCritical),
  hold: temperatures({
    lowCritical,
    low: derived(2, `Derived: 3 to 8 °C (${sources.keepers}) less 1 K of swing`),
    high: derived(9, `Derived: 3 to 8 °C (${sources.keepers}) and 1 K of swing`),
    highCritical: practice(12, `${sources.keepers}: not above 12 °C`),
  }),
  season: {
    ...amphibianCare,
    aim: practice(5, `${sources.keepers}: 3 to 8 °C, about 5`),
    usualWeeks: practice(10, `${sources.keepers}: 8 to 12 weeks`),
    mostWeeks: practice(12, `${sources.keepers}: 8 to 12 weeks`),
    fastWeeks: practice(2, `${sources.keepers}: one to two weeks, the longer taken; lenient: the shorter`, 1),
  },
  mass: amphibianMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Saturated air over damp moss or soil; plump, skin intact.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
  ],
})
