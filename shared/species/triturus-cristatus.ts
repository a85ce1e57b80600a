import { SpeciesProfile } from '../../schemas/species.ts'
import { amphibianCare, amphibianMass } from './amphibian-season.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(1, `Derived: safely above freezing; never below 0 °C (${sources.newts})`)

export const triturusCristatus = SpeciesProfile.parse({
  id: 'triturus-cristatus',
  latin: 'Triturus cristatus',
  common: say('Crested newt'),
  taxon: 'salamander',
  winter: 'deep',
  weak: false,
  active: awakeAbove(lowCritical),
  hold: temperatures({
    lowCritical,
    low: derived(2, `Derived: 3 to 8 °C (${sources.keepers}) less 1 K of swing`),
    high: derived(9, `Derived: 3 to 8 °C (${sources.keepers}) and 1 K of swing`),
    highCritical: practice(12, `${sources.keepers}: not above 12 °C`),
  }),
  season: {
    ...amphibianCare,
    aim: practice(5, `${sources.keepers}: 3 to 8 °C`),
    usualWeeks: practice(12, `${sources.keepers}: 8 to 16 weeks`),
    mostWeeks: practice(16, `${sources.keepers}: 8 to 16 weeks`),
    fastWeeks: practice(2, `${sources.keepers}: one to two weeks, the longer taken; lenient: the shorter`, 1),
  },
  mass: amphibianMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Always humid: wet leaves, soil, dead wood. Ichthyosaura and Lissotriton are kept alike.'),
      source: sources.newts,
      evidence: 'read',
    },
    {
      text: say('How much a newt burns in winter foretells what it loses, and differs from one to the next.'),
      source: sources.kristin,
      evidence: 'secondHand',
    },
  ],
})
