import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, read, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { testudoActive } from './testudo-bands.ts'
import { tortoiseCare, tortoiseMass } from './usual-season.ts'
import { say } from '../words/say.ts'

export const gopherusAgassizii = SpeciesProfile.parse({
  id: 'gopherus-agassizii',
  latin: 'Gopherus agassizii',
  common: say('Mojave desert tortoise'),
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: testudoActive,
  hold: temperatures({
    lowCritical: read(1.7, `${sources.nevada}: 35 to 50 °F, 1.7 to 10 °C`),
    low: derived(3, `Derived: the 1.7 °C that is the least (${sources.nevada}) and 1.3 K of swing`),
    high: derived(8, `Derived: the 10 °C that is the most (${sources.nevada}) less 2 K of swing`),
    highCritical: read(10, `${sources.nevada}: 35 to 50 °F, 1.7 to 10 °C`),
  }),
  season: {
    ...tortoiseCare,
    warm: derived(20, `Derived: a room of 20 °C, from which 5 K a week lead to the hold (${sources.hedley})`),
    aim: derived(6, `Derived: the middle of 1.7 to 10 °C (${sources.nevada})`),
    usualWeeks: derived(
      10,
      `Derived: as for other tortoises (${sources.minster}); wild ones stay down all winter (${sources.nussear})`,
    ),
    mostWeeks: derived(
      13,
      `Derived: as for other tortoises, at most three months (${sources.mcArthur}); lenient: inside 3 to 5 months (${sources.btk})`,
      17,
    ),
    fastWeeks: practice(
      3,
      `${sources.keepers}: two to three weeks, the longer taken; lenient: the shorter`,
      2,
    ),
    warmUpDays: derived(
      2,
      `Derived: as for other tortoises, at room temperature until it moves (${sources.ukVets})`,
    ),
    firstMealDays: derived(1, `Derived: as for other tortoises, once urates have passed (${sources.ukVets})`),
  },
  mass: tortoiseMass,
  condition: ['boxVolume', 'visualFive', 'visualNine'],
  notes: [
    {
      text: say(
        'Hatchlings hibernate in the wild, but dry out when they do so indoors. A snug inner box keeps moisture in.',
      ),
      source: sources.nevada,
      evidence: 'read',
    },
    {
      text: say('Individuals go down as much as 44 days apart, and come up as much as 49 days apart.'),
      source: sources.nussear,
      evidence: 'read',
    },
    {
      text: say(
        'Neither visual scores nor an index of mass told the fat of eight animals in a scan: no one rule is a verdict.',
      ),
      source: sources.fatByTomography,
      evidence: 'read',
    },
  ],
})
