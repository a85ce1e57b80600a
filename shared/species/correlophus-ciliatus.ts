import { SpeciesProfile } from '../../schemas/species.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import { practice } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const correlophusCiliatus = SpeciesProfile.parse({
  id: 'correlophus-ciliatus',
  latin: 'Correlophus ciliatus',
  common: say('Crested gecko'),
  taxon: 'lizard',
  winter: 'never',
  weak: true,
  // No critical limits: keeper habit gives one figure on each side.
  active: {
    temperature: [
      {
        limit: 'low',
        value: 16,
        for: minutes(30),
        priority: 'medium',
        source: `${sources.keepers}: 20 to 26 °C, alarm at 16. Delay derived`,
        evidence: 'commonPractice',
      },
      {
        limit: 'high',
        value: 28,
        for: minutes(30),
        priority: 'high',
        source: `${sources.keepers}: alarm at 28, for heat kills sooner than cold. Delay derived`,
        evidence: 'commonPractice',
      },
    ],
    humidity: [
      {
        limit: 'low',
        value: 60,
        inclusive: false,
        for: hours(12),
        priority: 'low',
        source: `${sources.webinarVet}: 60 to 80 %. Delay derived: it dries out between two mistings by design`,
        evidence: 'read',
      },
      {
        limit: 'high',
        value: 80,
        inclusive: false,
        for: hours(24),
        priority: 'low',
        source: `${sources.webinarVet}: 60 to 80 %. Delay derived: a night after misting stands above it`,
        evidence: 'read',
      },
    ],
  },
  condition: ['visualFive'],
  awake: {
    day: {
      from: practice(20, `${sources.keepers}: 20 to 26 °C`),
      to: practice(26, `${sources.keepers}: 20 to 26 °C`),
    },
  },
  notes: [
    { text: say('20 to 26 °C all year; never cooled.'), source: sources.keepers, evidence: 'commonPractice' },
  ],
})
