import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const uromastyxAcanthinura = SpeciesProfile.parse({
  id: 'uromastyx-acanthinura',
  latin: 'Uromastyx acanthinura',
  common: say('Spiny-tailed lizard'),
  taxon: 'lizard',
  winter: 'never',
  weak: true,
  active: temperatures({
    lowCritical: derived(12, `Derived: 3 K below winter rests of 15 to 21 °C (${sources.keepers})`),
  }),
  condition: ['visualFive'],
  awake: {
    night: {
      from: practice(15, `${sources.keepers}: winter rests of 15 to 21 °C, with a place to bask`),
      to: practice(21, `${sources.keepers}: winter rests of 15 to 21 °C, with a place to bask`),
    },
  },
  notes: [
    {
      text: say(
        'It may rest in winter at 15 to 21 °C with a place to bask at will; no hold in the dark. Dry. The figures are for the genus.',
      ),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
  ],
})
