import type { PhaseBand, SeasonFigures } from '../../schemas/species.ts'
import { minutes } from '../../schemas/amounts.ts'
import { derived, practice, read, temperatures } from './figures.ts'
import { snakeCare } from './snake-season.ts'
import { sources } from './sources.ts'

/** How colubrids of mild winters are cooled: keeper habit throughout but for the zone in which they are active. */
export const colubridSeason = {
  ...snakeCare,
  warm: read(25, `${sources.wikiVet}: active at 25 to 32 °C; cooled from its lower end`),
  aim: derived(12, `Derived: inside 10 to 14 °C (${sources.keepers})`),
  usualWeeks: practice(10, `${sources.keepers}: 8 to 12 weeks`),
  mostWeeks: practice(12, `${sources.keepers}: 8 to 12 weeks`),
  fastWeeks: practice(4, `${sources.keepers}: two to four weeks, the longer taken; lenient: the shorter`, 2),
  fastWarm: read(25, `${sources.wikiVet}: active at 25 to 32 °C; no food below it`),
  leastYears: practice(1, `${sources.keepers}: from the second winter`),
} satisfies SeasonFigures

/** A hold between two temperatures, `from` and `to`, with 1 K of swing on either side. */
export const colubridHold = (from: number, to: number): PhaseBand =>
  temperatures(
    {
      lowCritical: derived(
        5,
        `Derived: half of the ${from} °C aimed above; no published figure says where harm begins`,
      ),
      low: derived(from - 1, `Derived: ${from} to ${to} °C (${sources.keepers}) less 1 K of swing`),
      high: derived(to + 1, `Derived: ${from} to ${to} °C (${sources.keepers}) and 1 K of swing`),
      highCritical: practice(18, sources.keepers),
    },
    minutes(60),
  )

/** Nights of a keeper's room are no harm; what would be too cold in hold is too cold awake. */
export const colubridActive: PhaseBand = temperatures({
  lowCritical: derived(
    5,
    'Derived from the hold: what is too cold there is too cold awake; no published figure',
  ),
})
