import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const testudoGraecaGraeca = SpeciesProfile.parse({
  id: 'testudo-graeca-graeca',
  latin: 'Testudo graeca graeca',
  common: say('Spur-thighed tortoise, North African lineages'),
  taxon: 'tortoise',
  winter: 'never',
  weak: false,
  active: temperatures({
    lowCritical: derived(
      10,
      `Derived: winter-active on the coasts of Morocco (${sources.lewis}), wintered heated from Tunisia (${sources.rabeling}); no deep hold`,
    ),
  }),
  condition: ['jackson', 'visualFive', 'visualNine'],
  notes: [
    {
      text: say('Animals of the south and the coasts of Morocco may stay active all winter.'),
      source: sources.lewis,
      evidence: 'read',
    },
    { text: say('The Tunisian form is wintered heated.'), source: sources.rabeling, evidence: 'read' },
    {
      text: say('The form nabeulensis is left out of general advice on hibernation.'),
      source: sources.reptiland,
      evidence: 'read',
    },
    {
      text: say(
        'Mountain animals may take a short cool rest: where yours is known to, make a profile of your own with your vet.',
      ),
      source: `Derived from ${sources.lewis}`,
      evidence: 'derived',
    },
  ],
})
