import { SpeciesProfile } from '../../schemas/species.ts'
import { colubridActive, colubridHold, colubridSeason } from './colubrid-season.ts'
import { snakeMass } from './snake-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const lampropeltisGetula = SpeciesProfile.parse({
  id: 'lampropeltis-getula',
  latin: 'Lampropeltis getula',
  common: say('King snake'),
  taxon: 'snake',
  winter: 'cool',
  weak: true,
  active: colubridActive,
  hold: colubridHold(10, 14),
  season: colubridSeason,
  mass: snakeMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Milk snakes of the genus are kept alike; those of the tropics are cooled a little only.'),
      source: sources.keepers,
      evidence: 'memory',
    },
    { text: say('Dry litter, water always.'), source: sources.keepers, evidence: 'commonPractice' },
    { text: say('Stop feeding below 25 °C.'), source: sources.wikiVet, evidence: 'read' },
  ],
})
