import { SpeciesProfile } from '../../schemas/species.ts'
import { minutes } from '../../schemas/amounts.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const centrochelysSulcata = SpeciesProfile.parse({
  id: 'centrochelys-sulcata',
  latin: 'Centrochelys sulcata',
  common: say('African spurred tortoise'),
  taxon: 'tortoise',
  winter: 'never',
  weak: false,
  // No upper limit: it basks far above the air, and no published figure for the air was found. Nor is one for
  // humidity beyond "dry".
  active: {
    temperature: [
      {
        limit: 'lowCritical',
        value: 15,
        inclusive: false,
        for: minutes(30),
        priority: 'high',
        source: `Derived: below 15 °C tortoises that can hibernate begin to (${sources.lewis}); this one cannot`,
        evidence: 'derived',
      },
      {
        limit: 'low',
        value: 18.3,
        for: minutes(30),
        priority: 'medium',
        source: `${sources.boyer}: adults outdoors only above 18.3 °C (65 °F) in the morning. Delay derived`,
        evidence: 'read',
      },
    ],
  },
  condition: ['visualFive', 'visualNine'],
  notes: [
    {
      text: say('Young animals need more than 21.1 °C (70 °F): raise the low limit of their place by hand.'),
      source: sources.boyer,
      evidence: 'read',
    },
    { text: say('Never hibernates.'), source: `${sources.lewis}; ${sources.minster}`, evidence: 'read' },
  ],
})
