import type { MassFigures, SeasonFigures } from '../../schemas/species.ts'
import { asForTortoises, derived, practice, read, secondHand } from './figures.ts'
import { sources } from './sources.ts'

/** What is published for tortoises of how any hold is gone about. */
export const tortoiseCare = {
  coolPerWeek: read(5, `${sources.hedley}: about 5 °C of body temperature a week`),
  weighDays: secondHand(7, `${sources.bva}: weekly; lenient: every four weeks (${sources.btk})`, 28),
  lookDays: read(3, `${sources.forbes}: looked at two to three times a week`),
  airDays: read(7, `${sources.act}: weekly; once or twice a week (${sources.btk})`),
  vetDays: secondHand(7, `${sources.rvc}; the same in ${sources.ukVets}`),
  leastMonthsKept: practice(12, `${sources.keepers}: not in the first year with a new keeper`),
  feedUpWeeks: derived(
    4,
    `Derived: fed well through summer (${sources.keepers}); the last weeks of it are watched`,
  ),
} satisfies Partial<SeasonFigures>

/** The same taken over for other animals. */
export const usualCare = {
  coolPerWeek: asForTortoises(tortoiseCare.coolPerWeek),
  weighDays: asForTortoises(tortoiseCare.weighDays),
  lookDays: asForTortoises(tortoiseCare.lookDays),
  airDays: asForTortoises(tortoiseCare.airDays),
  vetDays: asForTortoises(tortoiseCare.vetDays),
  leastMonthsKept: tortoiseCare.leastMonthsKept,
  feedUpWeeks: tortoiseCare.feedUpWeeks,
} satisfies Partial<SeasonFigures>

export const tortoiseMass = {
  monthlyPercent: read(1, `${sources.forbes}: at most 1 % of the mass a month; the same by ${sources.rvc}`),
  totalPercent: secondHand(
    5,
    `${sources.bva}: at most 5 % of the starting mass; lenient: 8 to 10 % (${sources.rvc}; ${sources.btk})`,
    10,
  ),
  gainIsUsual: false,
} satisfies MassFigures

export const usualMass = {
  monthlyPercent: asForTortoises(tortoiseMass.monthlyPercent),
  totalPercent: asForTortoises(tortoiseMass.totalPercent),
  gainIsUsual: false,
} satisfies MassFigures
