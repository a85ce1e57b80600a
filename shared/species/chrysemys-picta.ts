import { SpeciesProfile } from '../../schemas/species.ts'
import {
  pondTurtleActive,
  pondTurtleHold,
  pondTurtleMass,
  pondTurtleNotes,
  pondTurtleSeason,
} from './pond-turtle-bands.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const chrysemysPicta = SpeciesProfile.parse({
  id: 'chrysemys-picta',
  latin: 'Chrysemys picta',
  common: say('Painted turtle'),
  taxon: 'turtle',
  winter: 'deep',
  weak: false,
  active: pondTurtleActive,
  hold: pondTurtleHold,
  season: pondTurtleSeason,
  mass: pondTurtleMass,
  condition: ['visualFive', 'visualNine'],
  notes: [
    ...pondTurtleNotes,
    {
      text: say(
        'Adults lived at least six months under water of 3 °C that was aerated: no limit for kept ones.',
      ),
      source: sources.ultsch,
      evidence: 'read',
    },
  ],
})
