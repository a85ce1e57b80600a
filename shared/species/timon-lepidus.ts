import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(3, `Derived: 5 to 10 °C (${sources.keepers}) less 2 K; no published figure`)

export const timonLepidus = SpeciesProfile.parse({
  id: 'timon-lepidus',
  latin: 'Timon lepidus',
  common: say('Ocellated lizard'),
  taxon: 'lizard',
  winter: 'deep',
  weak: true,
  active: awakeAbove(lowCritical),
  hold: temperatures({
    lowCritical,
    low: derived(4, `Derived: 5 to 10 °C (${sources.keepers}) less 1 K of swing`),
    high: derived(11, `Derived: 5 to 10 °C (${sources.keepers}) and 1 K of swing`),
    highCritical: practice(12, `${sources.keepers}: not above 12 °C`),
  }),
  season: {
    ...lizardCare,
    aim: derived(7, `Derived: inside 5 to 10 °C (${sources.keepers})`),
    usualWeeks: practice(10, `${sources.keepers}: 8 to 12 weeks`),
    mostWeeks: practice(12, `${sources.keepers}: 8 to 12 weeks`),
    fastWeeks: practice(
      3,
      `${sources.keepers}: two to three weeks, the longer taken; lenient: the shorter`,
      2,
    ),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [{ text: say('Slightly damp. Adults only.'), source: sources.keepers, evidence: 'commonPractice' }],
})
