import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, read, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const chelonoidisCarbonarius = SpeciesProfile.parse({
  id: 'chelonoidis-carbonarius',
  latin: 'Chelonoidis carbonarius',
  common: say('Red-footed tortoise'),
  taxon: 'tortoise',
  winter: 'never',
  weak: false,
  active: temperatures({
    lowCritical: derived(
      15,
      `Derived: below 15 °C tortoises that can hibernate begin to (${sources.lewis}); this one cannot`,
    ),
    low: derived(18, `Derived: nights of 20 °C (${sources.coleman}) less 2 K of swing`),
  }),
  condition: ['visualFive', 'visualNine'],
  awake: {
    day: {
      from: read(25, `${sources.coleman}: days of 25 °C`),
      to: read(25, `${sources.coleman}: days of 25 °C`),
    },
    night: {
      from: read(20, `${sources.coleman}: nights of 20 °C`),
      to: read(20, `${sources.coleman}: nights of 20 °C`),
    },
  },
  notes: [
    { text: say('Must never be cooled.'), source: `${sources.lewis}; ${sources.minster}`, evidence: 'read' },
    {
      text: say('Humidity up to 80 %RH. Chelonoidis denticulatus is kept alike.'),
      source: sources.coleman,
      evidence: 'read',
    },
  ],
})
