import { SpeciesProfile } from '../../schemas/species.ts'
import { sources } from './sources.ts'
import { testudoActive, testudoHold } from './testudo-bands.ts'

export const testudoHermanni = SpeciesProfile.parse({
  id: 'testudo-hermanni',
  latin: 'Testudo hermanni',
  common: "Hermann's tortoise",
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: testudoHold,
  notes: [
    {
      text: 'Sources differ on the hold: 5 °C is ideal inside 2 to 8 °C; 5 to 8 °C; 4 to 6 °C.',
      source: `${sources.forbes}; ${sources.bva}; ${sources.btk}`,
      evidence: 'read',
    },
    {
      text: 'At most 12 weeks (three months) for adults; German advice allows 3 to 5 months.',
      source: `${sources.minster}; ${sources.mcArthur}; ${sources.btk}`,
      evidence: 'read',
    },
    {
      text: 'First hold in the second to fourth winter, from 200 g; a German practice winters every age.',
      source: `${sources.bva}; ${sources.forbes}; ${sources.rabeling}`,
      evidence: 'read',
    },
    {
      text: 'Three to four weeks without food before the cold, warm at first so that the gut empties.',
      source: sources.forbes,
      evidence: 'read',
    },
    {
      text: 'Loses at most 1 % of its mass a month; 5 % in all ends the hold (8 to 10 % by other advice).',
      source: `${sources.rvc}; ${sources.bva}`,
      evidence: 'secondHand',
    },
    {
      text: 'Bedding damp, not wet: soil with leaves or moss. 60 to 70 %RH is keeper habit; nothing alarms on it.',
      source: `${sources.btk}; ${sources.keepers}`,
      evidence: 'commonPractice',
    },
  ],
})
