import { SpeciesProfile } from '../../schemas/species.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { amphibianCare, amphibianMass } from './amphibian-season.ts'
import { practice, read, secondHand } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const bufoBufo = SpeciesProfile.parse({
  id: 'bufo-bufo',
  latin: 'Bufo bufo',
  common: say('Common toad'),
  taxon: 'frog',
  winter: 'deep',
  weak: false,
  // Awake, only frost is a limit: no published figure says where harm begins above it.
  active: {
    temperature: [
      {
        limit: 'lowCritical',
        value: 1,
        for: seconds(60),
        priority: 'high',
        source: `Derived: safely above freezing, which kills a near relative (${sources.storey})`,
        evidence: 'derived',
      },
    ],
  },
  hold: {
    temperature: [
      {
        limit: 'lowCritical',
        value: 1,
        for: seconds(60),
        priority: 'high',
        source: `Derived: safely above freezing, which kills a near relative (${sources.storey}). Delay derived: at once, confirmed by a second reading`,
        evidence: 'derived',
      },
      {
        limit: 'low',
        value: 2,
        for: minutes(30),
        priority: 'medium',
        source: `Derived: young toads lived better at 4.5 than at 1.5 °C (${sources.uveges}); hold of 3 °C less 1 K of swing (${sources.calatayud})`,
        evidence: 'derived',
      },
      {
        limit: 'high',
        value: 6,
        for: minutes(30),
        priority: 'medium',
        source: `Derived: holds of 3 to 4.5 °C (${sources.calatayud}; ${sources.burton}) plus 1.5 K of swing`,
        evidence: 'derived',
      },
      {
        limit: 'highCritical',
        value: 8,
        for: minutes(30),
        priority: 'high',
        source: `Derived: toads at 8 °C used 27 % more oxygen than at 4 (by press, unconfirmed), and warmer hibernacula ended in worse condition (${sources.oromi})`,
        evidence: 'derived',
      },
    ],
    // Moist soil is what is published, not a figure of the air above it: nothing alarms on humidity.
  },
  season: {
    ...amphibianCare,
    aim: secondHand(
      4,
      `${sources.calatayud}: boreal toads at 3 and 4 °C; Wyoming toads at 4.5 °C (${sources.burton})`,
    ),
    usualWeeks: secondHand(
      6,
      `${sources.burton}: six weeks; 30 to 50 days in other programmes (${sources.detroit})`,
    ),
    mostWeeks: secondHand(
      13,
      `${sources.calatayud}: boreal toads came well through 1, 3 and 6 months; three taken, lenient six`,
      26,
    ),
    youngMostWeeks: read(
      8,
      `${sources.uveges}: young toads lived better through 61 days than 91; in whole weeks`,
    ),
    fastWeeks: practice(2, `${sources.keepers}: one to two weeks, the longer taken; lenient: the shorter`, 1),
  },
  mass: amphibianMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say(
        'Holds of 30 to 50 days are usual in breeding programmes; 1, 3 and 6 months all worked for boreal toads.',
      ),
      source: `${sources.detroit}; ${sources.burton}; ${sources.calatayud}`,
      evidence: 'secondHand',
    },
    {
      text: say('Young toads survived 61 days better than 91.'),
      source: sources.uveges,
      evidence: 'read',
    },
    {
      text: say('Moist soil, misted every four to five days; a gain of mass in moist soil is normal.'),
      source: sources.calatayud,
      evidence: 'secondHand',
    },
  ],
})
