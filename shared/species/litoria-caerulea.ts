import { SpeciesProfile } from '../../schemas/species.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import { practice } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const litoriaCaerulea = SpeciesProfile.parse({
  id: 'litoria-caerulea',
  latin: 'Litoria caerulea',
  common: say('Australian green tree frog'),
  taxon: 'frog',
  winter: 'never',
  weak: true,
  active: {
    temperature: [
      {
        limit: 'low',
        value: 18,
        for: minutes(30),
        priority: 'medium',
        source: `${sources.keepers}: nights of 20 to 24 °C, alarm at 18. Delay derived`,
        evidence: 'commonPractice',
      },
      {
        limit: 'high',
        value: 26,
        inclusive: false,
        for: hours(24),
        priority: 'medium',
        source: `${sources.ordinanceAmphibians}: heat-sensitive tropical amphibians not permanently above 26 °C. Delay derived: a day without a cooler night is permanent`,
        evidence: 'read',
      },
      {
        limit: 'highCritical',
        value: 29,
        inclusive: false,
        for: minutes(30),
        priority: 'high',
        source: `${sources.keepers}: days up to 29 °C. Delay derived`,
        evidence: 'commonPractice',
      },
    ],
    humidity: [
      {
        limit: 'low',
        value: 60,
        inclusive: false,
        for: hours(4),
        priority: 'medium',
        source: `${sources.keepers}: 60 to 90 %. Delay derived: airing swings it; a frog dries faster than a snake`,
        evidence: 'commonPractice',
      },
      {
        limit: 'high',
        value: 90,
        inclusive: false,
        for: hours(24),
        priority: 'low',
        source: `${sources.keepers}: 60 to 90 %. Delay derived: a night after misting stands above it`,
        evidence: 'commonPractice',
      },
    ],
  },
  condition: ['visualFive'],
  awake: {
    night: {
      from: practice(20, `${sources.keepers}: nights of 20 to 24 °C`),
      to: practice(24, `${sources.keepers}: nights of 20 to 24 °C`),
    },
  },
  notes: [
    {
      text: say('Days up to 29 °C, nights 20 to 24 °C; never cooled.'),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
  ],
})
