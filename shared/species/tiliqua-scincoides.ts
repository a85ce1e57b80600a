import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(8, `Derived: 4 K below the 12 to 18 °C of keeper habit; no published figure`)

export const tiliquaScincoides = SpeciesProfile.parse({
  id: 'tiliqua-scincoides',
  latin: 'Tiliqua scincoides',
  common: say('Blue-tongued skink'),
  taxon: 'lizard',
  winter: 'cool',
  weak: true,
  active: awakeAbove(lowCritical),
  hold: temperatures(
    {
      lowCritical,
      low: derived(11, `Derived: 12 to 18 °C (${sources.keepers}) less 1 K of swing`),
      high: derived(19, `Derived: 12 to 18 °C (${sources.keepers}) and 1 K of swing`),
      highCritical: derived(22, `Derived: 4 K above the 12 to 18 °C of keeper habit; no published figure`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    aim: derived(15, `Derived: the middle of 12 to 18 °C (${sources.keepers})`),
    usualWeeks: practice(8, `${sources.keepers}: 6 to 10 weeks`),
    mostWeeks: practice(10, `${sources.keepers}: 6 to 10 weeks`),
    fastWeeks: practice(2, `${sources.keepers}: two weeks`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [
    { text: say('Active at 33 °C, dry: 35 to 50 %RH.'), source: sources.toowoomba, evidence: 'read' },
    {
      text: say('Adults only. Tiliqua rugosa and Egernia are kept alike.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
    {
      text: say(
        'Official advice for a relative, the Australian water dragon: in winter 2 to 6 hours less light and 3 to 10 K less, by origin.',
      ),
      source: sources.ordinanceDragon,
      evidence: 'read',
    },
  ],
})
