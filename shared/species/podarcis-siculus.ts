import { SpeciesProfile } from '../../schemas/species.ts'
import { derived, practice, temperatures } from './figures.ts'
import { awakeAbove, lizardCare, lizardMass, restWarmFor } from './lizard-season.ts'
import { sources } from './sources.ts'
import { say } from '../words/say.ts'

const lowCritical = derived(5, `Derived: far from ice, which kills it quickly (${sources.burke})`)

export const podarcisSiculus = SpeciesProfile.parse({
  id: 'podarcis-siculus',
  latin: 'Podarcis siculus',
  common: say('Italian wall lizard'),
  taxon: 'lizard',
  winter: 'cool',
  weak: false,
  active: awakeAbove(lowCritical),
  hold: temperatures(
    {
      lowCritical,
      low: derived(
        9,
        `Derived: 12 to 15 °C for a relative (${sources.bannert}) less the 3 K that an unheated room swings`,
      ),
      high: derived(
        18,
        `Derived: 12 to 15 °C for a relative (${sources.bannert}) and the 3 K that an unheated room swings`,
      ),
      highCritical: derived(20, `Derived: at the warmth of a room it rests no more`),
    },
    restWarmFor,
  ),
  season: {
    ...lizardCare,
    aim: derived(13, `Derived: 12 to 15 °C for a relative, Gallotia (${sources.bannert})`),
    usualWeeks: practice(8, `${sources.keepers}: 6 to 10 weeks`),
    mostWeeks: practice(10, `${sources.keepers}: 6 to 10 weeks`),
    fastWeeks: practice(1, `${sources.keepers}: one week`),
  },
  mass: lizardMass,
  condition: ['visualFive'],
  notes: [
    {
      text: say(
        'A light rest: an unheated room with the natural length of day, dry. Other Podarcis of the Mediterranean and Gallotia are kept alike.',
      ),
      source: sources.bannert,
      evidence: 'read',
    },
    {
      text: say(
        'Dies quickly once ice forms; those that settled in New York must go deeper than about 24 cm.',
      ),
      source: sources.burke,
      evidence: 'read',
    },
  ],
})
