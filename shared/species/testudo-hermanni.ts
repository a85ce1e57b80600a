import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'
import { testudoMass, testudoNotes, testudoSeason } from './testudo-season.ts'
import { say } from '../words/say.ts'

export const testudoHermanni = SpeciesProfile.parse({
  id: 'testudo-hermanni',
  latin: 'Testudo hermanni',
  common: say("Hermann's tortoise"),
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  season: testudoSeason,
  mass: testudoMass,
  condition: ['jackson', 'hailey', 'visualFive', 'visualNine'],
  notes: [
    ...testudoNotes,
    {
      text: say(
        'Wild animals are down from the middle of November to the middle of March: no limit for kept ones.',
      ),
      source: sources.soptom,
      evidence: 'read',
    },
    {
      text: say(
        'The Jackson ratio was built on this species and Testudo graeca; it agrees only moderately with a visual score, and not at all in free-ranging animals.',
      ),
      source: `${sources.tortoiseGroup}; ${sources.frankenberger}`,
      evidence: 'read',
    },
  ],
})
