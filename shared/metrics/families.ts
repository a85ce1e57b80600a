import { daemonFamilies } from './daemon-families.ts'
import type { MetricFacts } from './facts.ts'
import type { Family } from './family.ts'
import { alarmFamily, placeFamilies, sensorFamilies } from './house-families.ts'

/**
 * Everything that is measured. Bounded by the household's own bounds (X3): at most 25 samples a sensor (six quantities,
 * each with value, instant, age and freshness, and its name), 15 a place (name, watched, five standings, eight limits)
 * and some 80 of the daemon itself: 20,080 for the largest household that may be set up, about 400 for twenty sensors
 * of two quantities in ten places.
 */
export const familiesOf = (facts: MetricFacts): readonly Family[] => [
  ...daemonFamilies(facts),
  alarmFamily(facts.alarms),
  ...placeFamilies(facts.places),
  ...sensorFamilies(facts.sensors, facts.now),
]
