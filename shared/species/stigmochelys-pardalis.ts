import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const stigmochelysPardalis = SpeciesProfile.parse({
  id: 'stigmochelys-pardalis',
  latin: 'Stigmochelys pardalis',
  common: say('Leopard tortoise'),
  taxon: 'tortoise',
  winter: 'never',
  weak: false,
  active: temperatures({
    lowCritical: derived(
      15,
      `Derived: below 15 °C tortoises that can hibernate begin to (${sources.lewis}); this one cannot`,
    ),
    low: derived(18, `Derived: as for the spurred tortoise, outdoors above 18.3 °C only (${sources.boyer})`),
  }),
  condition: ['visualFive', 'visualNine'],
  notes: [
    {
      text: say('Must never be cooled. Dry.'),
      source: `${sources.lewis}; ${sources.minster}`,
      evidence: 'read',
    },
  ],
})
