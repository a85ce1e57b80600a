import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, read, temperatures } from './figures.ts'
import { snakeCare, snakeMass } from './snake-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const viperaBerus = SpeciesProfile.parse({
  id: 'vipera-berus',
  latin: 'Vipera berus',
  common: say('Adder'),
  taxon: 'snake',
  winter: 'deep',
  weak: false,
  active: temperatures({
    lowCritical: derived(1, `Derived: safely above freezing, survived for hours only (${sources.berman})`),
  }),
  hold: temperatures({
    lowCritical: derived(1, `Derived: safely above freezing, survived for hours only (${sources.berman})`),
    low: derived(2, `Derived: bodies of about 4 °C in managed burrows (${sources.rakos}) less 2 K of swing`),
    high: derived(7, `Derived: 2 to 6 °C (${sources.rakos}) and 1 K of swing`),
    highCritical: derived(
      10,
      `Derived: a relative was held at 10 °C from December to March (${sources.lincolnPark})`,
    ),
  }),
  season: {
    ...snakeCare,
    warm: derived(20, `Derived: a room of 20 °C, from which 5 K a week lead to the hold (${sources.hedley})`),
    aim: read(4, `${sources.rakos}: bodies of about 4 °C in managed burrows`),
    usualWeeks: practice(18, `${sources.keepers}: 16 to 20 weeks`),
    mostWeeks: practice(20, `${sources.keepers}: 16 to 20 weeks`),
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
      text: say(
        'Venomous: for experienced keepers, and where you live perhaps for holders of a licence only. Native animals are protected.',
      ),
      source: sources.keepers,
      evidence: 'memory',
    },
    { text: say('Humid and free of frost.'), source: sources.keepers, evidence: 'commonPractice' },
    {
      text: say(
        'Wild ones were found supercooled at −2 °C: no limit for kept ones, for contact with ice ends it.',
      ),
      source: sources.berman,
      evidence: 'read',
    },
  ],
})
