import { hours } from '../../schemas/amounts.ts'
import { type Figure, SpeciesProfile } from '../../schemas/species.ts'

const source = 'an invented source'
const figure = (value: number, lenient?: number): Figure => ({
  value,
  ...(lenient === undefined ? {} : { lenient }),
  source,
  evidence: 'read',
})
const limit = (name: 'lowCritical' | 'low' | 'high' | 'highCritical', value: number) => ({
  limit: name,
  value,
  for: hours(0.5),
  priority: 'high' as const,
  source,
  evidence: 'read' as const,
})

/** A tortoise of the figures that are published for Hermann's tortoise, all of them there. */
export const aTortoise = SpeciesProfile.parse({
  id: 'test-tortoise',
  latin: 'Testudo testans',
  common: 'test tortoise',
  taxon: 'tortoise',
  winter: 'deep',
  weak: false,
  active: {
    temperature: [limit('lowCritical', 8), limit('low', 12), limit('high', 34), limit('highCritical', 38)],
  },
  hold: {
    temperature: [limit('lowCritical', 1), limit('low', 3), limit('high', 7), limit('highCritical', 10)],
  },
  season: {
    warm: figure(20),
    aim: figure(5),
    usualWeeks: figure(10, 16),
    mostWeeks: figure(13, 20),
    youngMostWeeks: figure(6, 8),
    fastWeeks: figure(4, 3),
    fastWarm: figure(18),
    coolPerWeek: figure(5),
    warmUpDays: figure(3),
    leastYears: figure(4, 0),
    leastGrams: figure(200, 0),
    leastMonthsKept: figure(12),
    weighDays: figure(7),
    lookDays: figure(1, 3),
    airDays: figure(7),
    batheDays: figure(2),
    feedUpWeeks: figure(8),
    firstMealDays: figure(3),
    vetDays: figure(7),
  },
  mass: { monthlyPercent: figure(1), totalPercent: figure(5, 10) },
  condition: ['visualFive'],
})

/** A toad that shares no figure with the tortoise: shorter, colder, no ages. */
export const aToad = SpeciesProfile.parse({
  id: 'test-toad',
  latin: 'Bufo testans',
  common: 'test toad',
  taxon: 'frog',
  winter: 'deep',
  weak: true,
  active: { temperature: [limit('lowCritical', 4), limit('high', 24), limit('highCritical', 28)] },
  hold: {
    temperature: [limit('lowCritical', 1), limit('low', 2), limit('high', 6), limit('highCritical', 8)],
  },
  season: {
    warm: figure(16),
    aim: figure(4),
    usualWeeks: figure(6),
    mostWeeks: figure(8.5),
    fastWeeks: figure(1),
    coolPerWeek: figure(7),
    warmUpDays: figure(2),
    weighDays: figure(7),
    lookDays: figure(3),
    airDays: figure(7),
    firstMealDays: figure(2),
    vetDays: figure(7),
  },
})

/** A python, which must never go down. */
export const aPython = SpeciesProfile.parse({
  id: 'test-python',
  latin: 'Python testans',
  common: 'test python',
  taxon: 'snake',
  winter: 'never',
  weak: false,
  active: { temperature: [limit('lowCritical', 17), limit('low', 20), limit('high', 35)] },
})

export const seasonProfileOf = (id: string): SpeciesProfile | undefined =>
  [aTortoise, aToad, aPython].find((profile) => profile.id === id)
