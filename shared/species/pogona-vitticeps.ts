import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, secondHand, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = practice(12, `${sources.keepers}: rests of 12 to 18 °C`)

export const pogonaVitticeps = SpeciesProfile.parse({
  id: 'pogona-vitticeps',
  latin: 'Pogona vitticeps',
  common: say('Bearded dragon'),
  taxon: 'lizard',
  winter: 'cool',
  weak: false,
  active: awakeAbove(lowCritical),
  hold: temperatures(
    {
      lowCritical,
      low: derived(
        14,
        `Derived: rests of 15 to 18 °C (${sources.bna}; ${sources.vetPortal}) less 1 K of swing`,
      ),
      high: derived(
        19,
        `Derived: rests of 15 to 18 °C (${sources.bna}; ${sources.vetPortal}) and 1 K of swing; lenient, derived: nearer the 20 °C that ends the rest`,
        19.5,
      ),
      highCritical: secondHand(20, `${sources.btkLizards}: 15 to 20 °C`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    aim: derived(
      16,
      `Derived: inside 15 to 18 °C (${sources.bna}; ${sources.vetPortal}) and 15 to 20 °C (${sources.btkLizards})`,
    ),
    usualWeeks: secondHand(6, `${sources.bna}: 4 to 8 weeks`),
    mostWeeks: secondHand(8, `${sources.bna}: 4 to 8 weeks; lenient: 6 to 12 (${sources.keepers})`, 12),
    fastWeeks: practice(
      2,
      `${sources.keepers}: one to two weeks at full heat, the longer taken; lenient: the shorter`,
      1,
    ),
    leastYears: practice(
      1,
      `${sources.keepers}: from one year; lenient: young ones too (${sources.vetPortal})`,
      0,
    ),
    lightFrom: secondHand(14, `${sources.btkLizards}: from 14 to 6 to 8 hours in four weeks`),
    lightTo: secondHand(8, `${sources.btkLizards}: from 14 to 6 to 8 hours in four weeks`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [
    { text: say('Nothing to eat once the heat is cut.'), source: sources.btkLizards, evidence: 'secondHand' },
    {
      text: say('Dry, with one damp corner; water every day.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
  ],
})
