import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'

export const testudoHorsfieldii = SpeciesProfile.parse({
  id: 'testudo-horsfieldii',
  latin: 'Testudo horsfieldii',
  common: "Horsfield's tortoise",
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  notes: [
    {
      text: 'The widest conflict of any tortoise on the length of the hold: at most three months, or five.',
      source: `${sources.mcArthur}; ${sources.rabeling}`,
      evidence: 'read',
    },
    {
      text: 'The Jackson ratio does not hold for this species.',
      source: sources.tortoiseGroup,
      evidence: 'read',
    },
    {
      text: 'Restless in a box: give deep soil to dig in.',
      source: sources.davenport,
      evidence: 'read',
    },
  ],
})
