import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(5, `Derived: 3 K below the 8 to 14 °C of keeper habit; no published figure`)

export const tarentolaMauritanica = SpeciesProfile.parse({
  id: 'tarentola-mauritanica',
  latin: 'Tarentola mauritanica',
  common: say('Moorish gecko'),
  taxon: 'lizard',
  winter: 'cool',
  weak: true,
  active: awakeAbove(lowCritical),
  hold: temperatures(
    {
      lowCritical,
      low: derived(7, `Derived: 8 to 14 °C (${sources.keepers}) less 1 K of swing`),
      high: derived(15, `Derived: 8 to 14 °C (${sources.keepers}) and 1 K of swing`),
      highCritical: derived(18, `Derived: 4 K above the 8 to 14 °C of keeper habit; no published figure`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    aim: derived(11, `Derived: the middle of 8 to 14 °C (${sources.keepers})`),
    usualWeeks: practice(7, `${sources.keepers}: 6 to 8 weeks`),
    mostWeeks: practice(8, `${sources.keepers}: 6 to 8 weeks`),
    fastWeeks: practice(2, `${sources.keepers}: two weeks`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Dry with a damp patch. Adults only. Teratoscincus is kept alike.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
  ],
})
