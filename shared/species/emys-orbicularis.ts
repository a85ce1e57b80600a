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

export const emysOrbicularis = SpeciesProfile.parse({
  id: 'emys-orbicularis',
  latin: 'Emys orbicularis',
  common: say('European pond turtle'),
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
      text: say('The body of hibernating pond turtles averages about 6 °C.'),
      source: sources.ernst,
      evidence: 'secondHand',
    },
  ],
})
