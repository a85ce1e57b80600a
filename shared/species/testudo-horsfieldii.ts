import { SpeciesProfile } from '../../schemas/species.ts'
import { read } from './figures.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'
import { testudoMass, testudoNotes, testudoSeason } from './testudo-season.ts'
import { say } from '../words/say.ts'

export const testudoHorsfieldii = SpeciesProfile.parse({
  id: 'testudo-horsfieldii',
  latin: 'Testudo horsfieldii',
  common: say("Horsfield's tortoise"),
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  season: {
    ...testudoSeason,
    usualWeeks: read(8, `${sources.ukVets}: 8 weeks`),
    mostWeeks: read(
      13,
      `${sources.mcArthur}: at most three months; lenient: five months (${sources.rabeling})`,
      21,
    ),
  },
  mass: testudoMass,
  condition: ['visualFive', 'visualNine'],
  notes: [
    {
      text: say(
        'The widest conflict of any tortoise on the length of the hold: at most three months, or five.',
      ),
      source: `${sources.mcArthur}; ${sources.rabeling}`,
      evidence: 'read',
    },
    {
      text: say('The Jackson ratio does not hold for this species.'),
      source: sources.tortoiseGroup,
      evidence: 'read',
    },
    {
      text: say('Restless in a box: give deep soil to dig in.'),
      source: sources.davenport,
      evidence: 'read',
    },
    ...testudoNotes,
  ],
})
