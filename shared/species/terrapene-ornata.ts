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

export const terrapeneOrnata = SpeciesProfile.parse({
  id: 'terrapene-ornata',
  latin: 'Terrapene ornata',
  common: say('Ornate box turtle'),
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
      text: say('Shells of wild ones never fell below 0 °C in their burrows.'),
      source: sources.milanovich,
      evidence: 'read',
    },
  ],
})
