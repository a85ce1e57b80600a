import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, read, secondHand, temperatures } from './figures.ts'
import { lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

/** Cooled lightly: advice conflicts between 15 to 20 °C, the stricter, and 8 to 12 °C. */
export const eublepharisMacularius = SpeciesProfile.parse({
  id: 'eublepharis-macularius',
  latin: 'Eublepharis macularius',
  common: say('Leopard gecko'),
  taxon: 'lizard',
  winter: 'cool',
  weak: false,
  active: temperatures({
    lowCritical: derived(
      15,
      `Derived: the coldest of a light rest (${sources.btkLizards}); it cannot digest there`,
    ),
    low: derived(18, `Derived: nights of 20 to 22 °C (${sources.leaflet}) less 2 K of swing`),
  }),
  hold: temperatures(
    {
      lowCritical: practice(
        10,
        `${sources.keepers}; lenient, derived: 3 K below 8 to 12 °C (${sources.bna})`,
        5,
      ),
      low: derived(
        14,
        `Derived: 15 to 20 °C (${sources.btkLizards}) less 1 K of swing; lenient: 8 to 12 °C (${sources.bna}) less 1 K`,
        7,
      ),
      high: derived(21, `Derived: 15 to 20 °C (${sources.btkLizards}) and 1 K of swing`),
      highCritical: derived(24, `Derived: 4 K above the 15 to 20 °C of a light rest (${sources.btkLizards})`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    warm: read(22, `${sources.leaflet}: nights of 20 to 22 °C, from which it is cooled`),
    aim: secondHand(
      17,
      `${sources.btkLizards}: 15 to 20 °C; lenient: 8 to 12 °C (${sources.bna}; 12 by ${sources.vetPortal})`,
      10,
    ),
    usualWeeks: secondHand(6, `${sources.bna}: 4 to 8 weeks`),
    mostWeeks: secondHand(8, `${sources.bna}: 4 to 8 weeks`),
    fastWeeks: derived(
      2,
      `Derived: as for the bearded dragon, one to two weeks at full heat (${sources.keepers})`,
      1,
    ),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  awake: {
    day: {
      from: read(28, `${sources.leaflet}: 28 to 32 °C`),
      to: read(32, `${sources.leaflet}: 28 to 32 °C`),
    },
    night: {
      from: read(20, `${sources.leaflet}: nights of 20 to 22 °C`),
      to: read(22, `${sources.leaflet}: nights of 20 to 22 °C`),
    },
    basking: read(35, `${sources.leaflet}: hot spot of 35 °C`),
  },
  notes: [
    {
      text: say(
        'Advice conflicts on how cold: 15 to 20 °C, 12 °C, or 8 to 12 °C for four to eight weeks. It may stay warm all winter.',
      ),
      source: `${sources.btkLizards}; ${sources.vetPortal}; ${sources.bna}`,
      evidence: 'secondHand',
    },
    { text: say('20 to 40 %RH, with a damp box.'), source: sources.webinarVet, evidence: 'read' },
  ],
})
