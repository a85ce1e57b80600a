import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'
import { testudoMass, testudoNotes, testudoSeason } from './testudo-season.ts'
import { say } from '../words/say.ts'

export const testudoGraeca = SpeciesProfile.parse({
  id: 'testudo-graeca',
  latin: 'Testudo graeca',
  common: say('Spur-thighed tortoise, Anatolian and eastern lineages'),
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  season: testudoSeason,
  mass: testudoMass,
  condition: ['jackson', 'hailey', 'visualFive', 'visualNine'],
  notes: [
    {
      text: say(
        'Make sure of the lineage first: those of North Africa may stay active all winter and have a profile of their own.',
      ),
      source: `${sources.lewis}; ${sources.reptiland}`,
      evidence: 'read',
    },
    ...testudoNotes,
    {
      text: say(
        'Wild hatchlings are active until the middle of December, then hibernate on and off until the middle of February.',
      ),
      source: sources.keller,
      evidence: 'read',
    },
  ],
})
