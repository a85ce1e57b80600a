import { SpeciesProfile } from '../../schemas/species.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { practice, read } from './figures.ts'
import { snakeCare, snakeMass } from './snake-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const thamnophisSirtalis = SpeciesProfile.parse({
  id: 'thamnophis-sirtalis',
  latin: 'Thamnophis sirtalis',
  common: say('Common garter snake, northern stock'),
  taxon: 'snake',
  winter: 'deep',
  weak: false,
  // Awake, only frost is a limit: the published zone of 21 to 32 °C is where it digests, not where harm begins.
  active: {
    temperature: [
      {
        limit: 'lowCritical',
        value: 1,
        for: seconds(60),
        priority: 'high',
        source: `Derived: safely above freezing, which killed within a day (${sources.churchill})`,
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
        source: `Derived: safely above freezing, which killed within a day (${sources.churchill}). Delay derived: at once, confirmed by a second reading`,
        evidence: 'derived',
      },
      {
        limit: 'low',
        value: 3,
        for: minutes(30),
        priority: 'medium',
        source: `Derived: the 4 °C that was slept through for 165 days and six months, less 1 K of swing (${sources.costanzo}; ${sources.stubblefield})`,
        evidence: 'derived',
      },
      {
        limit: 'high',
        value: 7,
        for: minutes(30),
        priority: 'medium',
        source: `Derived: the 5 °C of four months in the dark, plus 2 K of swing (${sources.hawley})`,
        evidence: 'derived',
      },
      {
        limit: 'highCritical',
        value: 10,
        for: minutes(30),
        priority: 'high',
        source: 'Derived: as for tortoises, 5 K above the temperature aimed at; no published figure',
        evidence: 'derived',
      },
    ],
  },
  season: {
    ...snakeCare,
    warm: read(21, `${sources.wikiVet}: active at 21 to 32 °C; cooled from its lower end`),
    aim: read(4, `${sources.costanzo}; ${sources.stubblefield}: held at 4 °C`),
    usualWeeks: practice(14, `${sources.keepers}: 12 to 16 weeks`),
    mostWeeks: practice(
      16,
      `${sources.keepers}: 12 to 16 weeks; lenient: the six months of the laboratory, in round figures (${sources.stubblefield})`,
      24,
    ),
    fastWeeks: practice(
      3,
      `${sources.keepers}: two to three weeks, the longer taken; lenient: the shorter`,
      2,
    ),
    fastWarm: read(21, `${sources.wikiVet}: active at 21 to 32 °C; no food below it`),
    firstMealDays: read(3, `${sources.hawley}: ate nothing for three days after 5 to 25 °C`),
  },
  mass: snakeMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say('Kept its mass for 165 days at 4 °C; six months at 4 °C without a loss in the laboratory.'),
      source: `${sources.costanzo}; ${sources.stubblefield}`,
      evidence: 'read',
    },
    {
      text: say('Two to three weeks without food before the cold; 12 to 16 weeks of hold.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
    {
      text: say('Stop feeding below 21 °C: it digests at 21 to 32 °C.'),
      source: sources.wikiVet,
      evidence: 'read',
    },
  ],
})
