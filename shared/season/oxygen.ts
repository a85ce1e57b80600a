import { q10 } from './metabolic-days.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/**
 * Oxygen that a resting tortoise uses, ml/h: 45.47·W^0.82 at 25.5 °C with W in kg, measured on inactive giant tortoises
 * (Hughes et al. 1971, J Exp Biol 55:651). Smaller species use less: a ceiling, carried to the cold by Q10.
 */
export function oxygenUse(kilograms: number, at: number, by: number = q10.usual): number | null {
  if (!(kilograms > 0 && kilograms < Infinity) || !Number.isFinite(at)) return null
  return perHour.factor * kilograms ** perHour.power * by ** ((at - perHour.measuredAt) / 10)
}

/** Closed air, and the masses in kg of those who breathe it. */
export interface ClosedAir {
  readonly litres: number
  readonly kilograms: readonly number[]
  readonly celsius: number
}

export type Airing =
  | {
      readonly ok: true
      readonly value: { readonly days: number; readonly leastDays: number; readonly sentence: string }
    }
  | { readonly ok: false; readonly error: 'noAir' | 'nobody' | 'notKnown'; readonly sentence: string }

/**
 * In how many days the animals take one percentage point (of about 21) out of closed air. `leastDays` reckons with the least
 * published Q10, which leaves them more to breathe in the cold. No door closes so well: a reason to open it, no limit to wait for.
 */
export function daysPerOxygenPoint({ litres, kilograms, celsius }: ClosedAir): Airing {
  if (!(litres > 0 && litres < Infinity))
    return { ok: false, error: 'noAir', sentence: say('The litres of air inside are not known yet.') }
  if (kilograms.length === 0)
    return { ok: false, error: 'nobody', sentence: say('Nobody is in there who uses up air.') }
  const daysBy = (by: number): number | null => {
    let perDay = 0
    for (const mass of kilograms) {
      const use = oxygenUse(mass, celsius, by)
      if (use === null) return null
      perDay += use * hoursPerDay
    }
    return (litres * millilitres * onePoint) / perDay
  }
  const [days, leastDays] = [daysBy(q10.usual), daysBy(q10.least)]
  if (days === null || leastDays === null)
    return { ok: false, error: 'notKnown', sentence: say('A weight or the temperature is not known yet.') }
  const sentence = say(
    'Closed up, this air loses one point of oxygen in about {days} days, by a ceiling from large tortoises.',
    { days: inReadersDigits(days.toFixed(1)) },
  )
  return { ok: true, value: { days, leastDays, sentence } }
}

const perHour = { factor: 45.47, power: 0.82, measuredAt: 25.5 } as const
const hoursPerDay = 24
const millilitres = 1000
const onePoint = 0.01
