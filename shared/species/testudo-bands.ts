import { PhaseBand } from '../../schemas/species.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { sources } from './sources.ts'

/**
 * What the Testudo that go down share. Hold aims at 5 °C. Figures of supercooling are no limits here or anywhere:
 * contact with ice ends it.
 */
export const testudoHold = PhaseBand.parse({
  temperature: [
    {
      limit: 'lowCritical',
      value: 1,
      for: seconds(60),
      priority: 'high',
      source: `${sources.forbes}: lens, brain and limb damage below 1 °C. Delay derived: at once, confirmed by a second reading`,
      evidence: 'read',
    },
    {
      limit: 'low',
      value: 3,
      for: minutes(30),
      priority: 'medium',
      source: `Derived: between the 1 °C that harms and the 5 °C aimed at (${sources.forbes})`,
      evidence: 'derived',
    },
    {
      limit: 'high',
      value: 7,
      lenient: 8,
      for: minutes(30),
      priority: 'medium',
      source: `Derived: between the 5 °C aimed at and the 10 °C that costs; lenient 8 is the upper end of 5 to 8 °C (${sources.bva})`,
      evidence: 'derived',
    },
    {
      limit: 'highCritical',
      value: 10,
      for: minutes(30),
      priority: 'high',
      source: `${sources.forbes}: above 10 °C metabolism climbs, mass and water are lost. Delay derived`,
      evidence: 'read',
    },
  ],
  // No veterinary figure for humidity in hold was found: 60 to 70 %RH is keeper habit, so nothing alarms on it.
  humidity: [],
})

/**
 * Awake, only frost is a limit: nights in a frame fall far below any comfort figure without harm, and no published
 * figure says where harm begins above 1 °C.
 */
export const testudoActive = PhaseBand.parse({
  temperature: [
    {
      limit: 'lowCritical',
      value: 1,
      for: seconds(60),
      priority: 'high',
      source: `Derived from the hold: ${sources.forbes}, damage below 1 °C`,
      evidence: 'derived',
    },
  ],
  humidity: [],
})
