import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, read, temperatures } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const testudoKleinmanni = SpeciesProfile.parse({
  id: 'testudo-kleinmanni',
  latin: 'Testudo kleinmanni',
  common: say('Egyptian tortoise'),
  taxon: 'tortoise',
  winter: 'never',
  weak: false,
  active: temperatures({
    lowCritical: derived(
      12,
      `Derived: active in winter and rests in summer (${sources.hellabrunn}); nights colder are not its own`,
    ),
  }),
  condition: ['visualFive', 'visualNine'],
  awake: {
    day: {
      from: read(25, `${sources.ordinance}: summer days of 25 to 35 °C; winter milder`),
      to: read(35, `${sources.ordinance}: summer days of 25 to 35 °C; winter milder`),
    },
  },
  notes: [
    { text: say('Does not hibernate.'), source: sources.minster, evidence: 'read' },
    { text: say('Rests from June to August instead.'), source: sources.hellabrunn, evidence: 'read' },
    { text: say('Dry days, a humid retreat.'), source: sources.keepers, evidence: 'memory' },
    { text: say('A guideline of zoos exists.'), source: sources.eaza, evidence: 'read' },
  ],
})
