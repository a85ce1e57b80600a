import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'
import { testudoMass, testudoNotes, testudoSeason } from './testudo-season.ts'
import { say } from '../words/say.ts'

export const testudoMarginata = SpeciesProfile.parse({
  id: 'testudo-marginata',
  latin: 'Testudo marginata',
  common: say('Marginated tortoise'),
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  season: testudoSeason,
  mass: testudoMass,
  condition: ['hailey', 'visualFive', 'visualNine'],
  notes: [
    {
      text: say(
        'The lightest for its length of the three Greek species: the Jackson ratio does not hold for it.',
      ),
      source: sources.willemsen,
      evidence: 'read',
    },
    ...testudoNotes,
  ],
})
