import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, read, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(
  1,
  `Derived: safely above freezing; wet soil near freezing killed a relative (${sources.hodges})`,
)

export const lacertaAgilis = SpeciesProfile.parse({
  id: 'lacerta-agilis',
  latin: 'Lacerta agilis',
  common: say('Sand lizard'),
  taxon: 'lizard',
  winter: 'deep',
  weak: false,
  active: awakeAbove(lowCritical),
  hold: temperatures({
    lowCritical,
    low: derived(2, `Derived: a refrigerator of 3 to 5 °C (${sources.bannert}) less 1 K of swing`),
    high: derived(6, `Derived: a refrigerator of 3 to 5 °C (${sources.bannert}) and 1 K of swing`),
    highCritical: derived(10, `Derived: as for tortoises, metabolism climbs above it (${sources.forbes})`),
  }),
  season: {
    ...lizardCare,
    aim: read(4, `${sources.bannert}: 3 to 5 °C in a refrigerator (digits joined in the scan)`),
    usualWeeks: practice(14, `${sources.keepers}: 12 to 16 weeks`),
    mostWeeks: practice(16, `${sources.keepers}: 12 to 16 weeks; lenient: 20`, 20),
    fastWeeks: practice(2, `${sources.keepers}: two weeks`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say(
        'Slightly damp; the drier is the safer near 0 °C: a relative lived in soil of 15 % moisture and died in soil of 70 to 80 %.',
      ),
      source: sources.hodges,
      evidence: 'read',
    },
    {
      text: say('Lacerta strigata and other lizards of the continent and the mountains are held alike.'),
      source: sources.bannert,
      evidence: 'read',
    },
  ],
})
