import type { MassFigures, SeasonFigures, SpeciesProfile } from '../../schemas/species.ts'
import { derived, read } from './figures.ts'
import { sources } from './sources.ts'
import { tortoiseCare, tortoiseMass } from './usual-season.ts'
import { say } from '../words/say.ts'

/** How the Testudo that go down are fasted, cooled, held and woken. */
export const testudoSeason = {
  ...tortoiseCare,
  warm: derived(
    20,
    `Derived: a room of 20 °C, from which three weeks of 5 K lead to the hold (${sources.hedley})`,
  ),
  aim: read(5, `${sources.forbes}: 5 °C is ideal inside 2 to 8 °C`),
  usualWeeks: read(10, `${sources.minster}: adults 10 to 12 weeks`),
  mostWeeks: read(
    13,
    `${sources.bva} and ${sources.mcArthur}: at most three months (12 weeks by ${sources.minster}); lenient: inside 3 to 5 months (${sources.btk})`,
    17,
  ),
  youngMostWeeks: read(
    6,
    `${sources.bva}: 6 weeks (2 to 3 by ${sources.minster}, 4 by ${sources.mcArthur}); lenient: 6 to 8 weeks (${sources.btk})`,
    8,
  ),
  fastWeeks: read(
    4,
    `${sources.forbes}: three to four weeks, the longer taken; lenient: 3 weeks (${sources.btk})`,
    3,
  ),
  fastWarm: derived(
    15,
    `Derived: kept warm at first so that the gut empties (${sources.hedley}); below 15 °C it begins to hibernate (${sources.lewis})`,
  ),
  warmUpDays: derived(
    2,
    `Derived: at room temperature until it moves, then under a lamp (${sources.ukVets})`,
  ),
  leastYears: read(
    2,
    `${sources.bva}: first in the second to fourth winter (5 years by a United Kingdom practice); lenient: every age (${sources.rabeling}; ${sources.reptilientierarzt})`,
    0,
  ),
  leastGrams: read(200, `${sources.forbes}: from 200 g; lenient: every size (${sources.rabeling})`, 0),
  batheDays: read(
    2,
    `${sources.hedley}: every other day; lenient: every two to three days (${sources.bpt})`,
    3,
  ),
  firstMealDays: derived(1, `Derived: fed once urates have passed, under the lamp (${sources.ukVets})`),
} satisfies SeasonFigures

export const testudoMass: MassFigures = tortoiseMass

/** Notes that hold for each of them. */
export const testudoNotes: SpeciesProfile['notes'] = [
  {
    text: say(
      'Sources differ on the hold: 5 °C is ideal inside 2 to 8 °C; 5 to 8 °C; 4 to 6 °C; 3 to 6 °C; 2 to 6 °C.',
    ),
    source: `${sources.forbes}; ${sources.bva}; ${sources.btk}; ${sources.ukVets}; ${sources.bna}`,
    evidence: 'read',
  },
  {
    text: say(
      'The fast is begun warm, so that the gut empties, and ended below 15 °C. It is not left standing at 10 to 15 °C: too cold to digest, too warm to save.',
    ),
    source: `${sources.hedley}; ${sources.forbes}; ${sources.keepers}`,
    evidence: 'read',
  },
  {
    text: say(
      'Bedding damp, not wet: soil with leaves or moss. 60 to 70 %RH is keeper habit; nothing alarms on it.',
    ),
    source: `${sources.btk}; ${sources.keepers}`,
    evidence: 'commonPractice',
  },
  {
    text: say('Urine or activity in hold ends it: warm to 15 °C over several hours.'),
    source: sources.forbes,
    evidence: 'read',
  },
  {
    text: say('Woken, it is kept at its preferred temperature night and day at first.'),
    source: sources.mcArthur,
    evidence: 'read',
  },
]
