import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import {
  terrapeneActive,
  terrapeneHold,
  terrapeneMass,
  terrapeneNotes,
  terrapeneSeason,
} from './terrapene-bands.ts'
import { say } from '../words/say.ts'

export const terrapeneCarolina = SpeciesProfile.parse({
  id: 'terrapene-carolina',
  latin: 'Terrapene carolina',
  common: say('Eastern box turtle'),
  taxon: 'turtle',
  winter: 'deep',
  weak: false,
  active: terrapeneActive,
  hold: terrapeneHold,
  season: terrapeneSeason,
  mass: terrapeneMass,
  condition: ['visualFive', 'visualNine'],
  notes: [
    ...terrapeneNotes,
    {
      text: say(
        'Wild ones lay 142 days on average, 4 to 5 cm deep and at most 14, under some 8 cm of litter: no limit for kept ones.',
      ),
      source: sources.claussen,
      evidence: 'read',
    },
  ],
})
