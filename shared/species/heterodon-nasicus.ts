import { SpeciesProfile } from '../../schemas/species.ts'
import { colubridActive, colubridHold, colubridSeason } from './colubrid-season.ts'
import { practice } from './figures.ts'
import { snakeMass } from './snake-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const heterodonNasicus = SpeciesProfile.parse({
  id: 'heterodon-nasicus',
  latin: 'Heterodon nasicus',
  common: say('Western hognose snake'),
  taxon: 'snake',
  winter: 'cool',
  weak: true,
  active: colubridActive,
  hold: colubridHold(10, 14),
  season: {
    ...colubridSeason,
    fastWeeks: practice(
      3,
      `${sources.keepers}: two to three weeks, the longer taken; lenient: the shorter`,
      2,
    ),
  },
  mass: snakeMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Dry substrate to burrow in.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
    {
      text: say('Bodies of wild Heterodon platirhinos were logged down to 5.5 °C: no limit for kept ones.'),
      source: sources.buchanan,
      evidence: 'read',
    },
  ],
})
