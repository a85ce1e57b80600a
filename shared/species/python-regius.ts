import { SpeciesProfile } from '../../schemas/species.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import { read } from './figures.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

export const pythonRegius = SpeciesProfile.parse({
  id: 'python-regius',
  latin: 'Python regius',
  common: say('Royal python'),
  taxon: 'snake',
  winter: 'never',
  weak: false,
  // For a sensor in the air. One on the hot spot itself reads up to 35 °C by rights.
  active: {
    temperature: [
      {
        limit: 'lowCritical',
        value: 17,
        inclusive: false,
        for: minutes(30),
        priority: 'high',
        source: `Derived: night of 23 °C less the winter dip of 6 K (${sources.ordinance}). Delay derived: one airing`,
        evidence: 'derived',
      },
      {
        limit: 'low',
        value: 20,
        inclusive: false,
        for: minutes(30),
        priority: 'medium',
        source: `Derived: night of 23 to 25 °C less a winter dip of 4 K, in round figures (${sources.ordinance})`,
        evidence: 'derived',
      },
      {
        limit: 'high',
        value: 34,
        inclusive: false,
        for: minutes(60),
        priority: 'medium',
        source: `${sources.wikiVet}: 25 to 34 °C. Air beyond it leaves no cooler end to retreat to. Delay derived`,
        evidence: 'read',
      },
      {
        limit: 'highCritical',
        value: 35,
        inclusive: false,
        for: minutes(15),
        priority: 'high',
        source: `${sources.ordinance}: hot spot at most 35 °C. Air beyond it is wrong wherever the sensor sits. Delay derived`,
        evidence: 'read',
      },
    ],
    humidity: [
      {
        limit: 'low',
        value: 60,
        inclusive: false,
        for: hours(6),
        priority: 'low',
        source: `${sources.ordinance}: 60 to 90 %. Delay derived: airing and heating swing it for hours`,
        evidence: 'read',
      },
      {
        limit: 'high',
        value: 90,
        inclusive: false,
        for: hours(12),
        priority: 'low',
        source: `${sources.ordinance}: 60 to 90 %. Delay derived: misting lifts it for half a day`,
        evidence: 'read',
      },
    ],
  },
  condition: ['visualFive'],
  awake: {
    day: {
      from: read(29, `${sources.ordinance}: days of 29 to 31 °C; in winter 4 to 6 K less`),
      to: read(31, `${sources.ordinance}: days of 29 to 31 °C; in winter 4 to 6 K less`),
    },
    night: {
      from: read(23, `${sources.ordinance}: nights of 23 to 25 °C`),
      to: read(25, `${sources.ordinance}: nights of 23 to 25 °C`),
    },
    basking: read(35, `${sources.ordinance}: hot spot of at most 35 °C`),
  },
  notes: [
    {
      text: say(
        'Day 29 to 31 °C, night 23 to 25 °C; in winter 4 to 6 K less and 2 to 4 h less light. Never a cold hold.',
      ),
      source: sources.ordinance,
      evidence: 'read',
    },
    { text: say('Stop feeding below 25 °C.'), source: sources.wikiVet, evidence: 'read' },
  ],
})
