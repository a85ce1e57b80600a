import { SpeciesProfile } from '../../schemas/species.ts'
import { colubridActive, colubridHold, colubridSeason } from './colubrid-season.ts'
import { practice } from './figures.ts'
import { snakeMass } from './snake-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const pantherophisGuttatus = SpeciesProfile.parse({
  id: 'pantherophis-guttatus',
  latin: 'Pantherophis guttatus',
  common: say('Corn snake'),
  taxon: 'snake',
  winter: 'cool',
  weak: true,
  active: colubridActive,
  hold: colubridHold(10, 15),
  season: {
    ...colubridSeason,
    mostWeeks: practice(12, `${sources.keepers}: 8 to 12 weeks; lenient: 13`, 13),
  },
  mass: snakeMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('It need not be cooled at all: rat snakes in Texas move in every month of winter.'),
      source: sources.ratSnakes,
      evidence: 'read',
    },
    {
      text: say("Keepers' notes differ: 10 to 15, 11 to 14, 12 to 18 °C. Dry litter, water always."),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
    {
      text: say('Three days after a meal of 10 % of its mass its metabolism was back to rest.'),
      source: sources.cornSnake,
      evidence: 'read',
    },
    { text: say('Stop feeding below 25 °C.'), source: sources.wikiVet, evidence: 'read' },
  ],
})
