import { days, hours, minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** How long a winter is simulated. */
export interface Lengths {
  /** Days in which nothing breaks, so that whoever learns can learn. */
  readonly learning: Millis
  /** After them: everyday life and, in most winters, one fault. */
  readonly stretch: Millis
  /** The fault begins within so long after the learning days. */
  readonly faultWithin: Millis
}

/** The slowest fault still has six days to do harm. */
export const fullLengths: Lengths = { learning: days(7), stretch: days(14), faultWithin: days(8) }
/** For a look at whether everything runs; its figures are worth less. */
export const quickLengths: Lengths = { learning: days(2), stretch: days(5), faultWithin: days(2) }

/** Rates are told for a winter of this length. */
export const winterDays = 150

/** High-side harm needs this long without a break above the critical limit; low-side harm is at once. */
export const highHarmAfter = minutes(30)
/** A winter in which physics leaves less than this is no test of a judge. */
export const leastLead = minutes(10)
/** Noise is passed at this many standard deviations. */
export const noiseSigmas = 3
/** The truth must stay inside its warning limits so long before and after an alarm that is called false. */
export const calmBefore = hours(1)
export const calmAfter = hours(2)
/** An alarm is right by the air where that passed the limit so long before: delays and the probe's own lag are shorter. */
export const airLooksBack = minutes(30)
/** An alarm about what lies ahead is right where the air passes the limit within so long after. */
export const airLooksAhead = hours(2)
/** So long after a fault has ended its traces may still be alarmed about. */
export const recovery = hours(24)
/** An alarm of the same kind, in the twin this near, would have been raised without the fault. */
export const sameWithin = minutes(10)
/** A winter goes on for so long after harm. */
export const afterHarm = hours(2)
/** The keeper acknowledges so long after being told. */
export const answeredAfter = minutes(10)

/** What a bare threshold with dwell waits for: WHO/PQS/E006 30-day temperature recorders, cold 60 min, heat 10 h. */
export const dwellCold = minutes(60)
export const dwellHeat = hours(10)

export const definitionText = ({ learning, stretch, faultWithin }: Lengths): string => `Definitions
- winter: ${learning / 86_400_000} days to learn in, then ${stretch / 86_400_000} days of everyday life, in which one fault begins on a random one of the first ${faultWithin / 86_400_000}.
  It ends ${afterHarm / 3_600_000} h after harm. Rates are scaled to ${winterDays} days from the days in which no fault was at work.
- truth: a node of its own, the animal, which lags behind what it lies in.
- harm: the truth at or below the species profile's lowCritical, at once; at or above its highCritical for ${highHarmAfter / 60_000} min
  without a break. The same winter without the fault (the twin: same weather, doors, noise) must not come to harm.
- visible: the first reading whose value without noise differs from the twin's by more than ${noiseSigmas} sigma of that sensor
  (sigma² = noise² + step²/12), or that is missing because of the fault. A cycle that the fault has merely shifted
  is visible too: this is generous to physics and hard on the judge.
- counted: harm at least ${leastLead / 60_000} min after the fault began and at least ${leastLead / 60_000} min after it was visible.
- told: a high or medium alarm about the place, what is in it or its sensors was raised from the fault's beginning on
  and before harm; and not in the twin as well (same kind, within ${sameWithin / 60_000} min), for that was everyday life.
- false: raised while no fault is at work (before it, or ${recovery / 3_600_000} h after it ended), with the truth inside the band's warning
  limits (low to high; critical where there is none) from ${calmBefore / 3_600_000} h before to ${calmAfter / 3_600_000} h after, and not during an announced tending.
- of these, told apart: "the air was out" (air, or what the animal lies in, truly passed the limit within the ${airLooksBack / 60_000} min before,
  or within ${airLooksAhead / 3_600_000} h after where the alarm looks ahead: right by rule L11, early for the animal), "truly silent" (nothing of that
  sensor was heard for longer than it may be silent), "truly open", "nearly" (nearer to the limit than the error that the
  probe's data sheet allows), "guarded" (so near to the limit near freezing as the probe's uncertainty moves it, L9),
  "probe outside" (it truly lay outside within the ${airLooksBack / 60_000} min before, during an opening that nobody had announced), and "wrong":
  none of these.
- bare threshold: each reading of a sensor in the place that passes the critical limit from inside is a high alarm.
- with dwell: the same limits, once passed for 60 min (cold) or 10 h (heat) without a break, the dwell times of
  WHO/PQS/E006 30-day recorders. Both baselines ignore −127, 85.0 and exactly 0.0, which the judge must see through.
Assumed, plausible and without a source
- each probe loses its radio for 1 to 14 min about every second day, holds readings up for 1 to 8 min every third, and
  has its battery changed (1 to 15 min of silence) every 25 days: some of these silences are longer than 10 min.
- doors are opened every 1 to 7 days, mostly for minutes, one time in eight for 6 to 25; some of it is announced. One
  opening in 17, a probe lies outside meanwhile. The mains blink for 1 to 10 min about every eighth day.
- the daemon and its network outlive a mains cut; three houses in ten have probes that do not.
- one house in seven has a switch that reads the daemon's air probe, half of those in which a sensor breaks: only so
  does a broken sensor harm.
- frozen soil's latent heat is left out; species are those of the catalogue with both critical limits.`
