import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, secondHand, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(5, `Derived: 3 K below the 8 to 12 °C that are advised (${sources.bna})`)

export const crotaphytusCollaris = SpeciesProfile.parse({
  id: 'crotaphytus-collaris',
  latin: 'Crotaphytus collaris',
  common: say('Collared lizard'),
  taxon: 'lizard',
  winter: 'cool',
  weak: false,
  active: awakeAbove(lowCritical),
  hold: temperatures(
    {
      lowCritical,
      low: derived(7, `Derived: 8 to 12 °C (${sources.bna}) less 1 K of swing`),
      high: derived(13, `Derived: 8 to 12 °C (${sources.bna}) and 1 K of swing`),
      highCritical: derived(15, `Derived: 3 K above the 8 to 12 °C that are advised (${sources.bna})`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    aim: secondHand(10, `${sources.bna}: 8 to 12 °C, the middle`),
    usualWeeks: secondHand(6, `${sources.bna}: 4 to 8 weeks`),
    mostWeeks: secondHand(8, `${sources.bna}: 4 to 8 weeks`),
    fastWeeks: practice(2, `${sources.keepers}: two weeks`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [{ text: say('With a patch of damp moss.'), source: sources.keepers, evidence: 'commonPractice' }],
})
