import { celsius } from '../../schemas/amounts.ts'
import type { Celsius } from '../../schemas/units.ts'

/**
 * By how much ten kelvin speed life up, in the cold. `usual` and `least` are derived from the published ones, which lie
 * between about 2 (box turtle, 20 to 30 °C: Grebe & Gienger, SICB abstract) and 3.6 (snapping-turtle hatchlings, 15 to
 * 5 °C: doi 10.5061/dryad.69p8cz993); garter snakes 3.3 from 30 to 5 °C (Stubblefield, Ultsch & Secor, SICB abstract).
 */
export const q10 = { least: 2, usual: 2.5, most: 3.6 } as const

/**
 * Where the range of Q10 was taken to hold, °C. Above it hatchlings showed 9.6 (25 to 15 °C, the same data), below it body
 * fluids freeze. Temperatures beyond count as its end, and their time is told apart.
 */
export const q10Holds = { from: celsius(0), to: celsius(15) } as const

/** The usual centre of a tortoise's hold. Bundestierärztekammer (German Federal Chamber of Veterinarians), by press agency. */
export const usualReference = celsius(5)

/** Days at the reference temperature that would have used as much, by each Q10; `beyond` in ms. */
export interface MetabolicTime {
  readonly least: number
  readonly usual: number
  readonly most: number
  readonly beyond: number
}

export const noMetabolicTime: MetabolicTime = { least: 0, usual: 0, most: 0, beyond: 0 }

export const mergeMetabolic = (one: MetabolicTime, other: MetabolicTime): MetabolicTime => ({
  least: one.least + other.least,
  usual: one.usual + other.usual,
  most: one.most + other.most,
  beyond: one.beyond + other.beyond,
})

/** As `mergeMetabolic` of what `ms` at one temperature cost, for a winter of readings. */
export function addMetabolic(
  so: MetabolicTime,
  at: number,
  ms: number,
  reference: Celsius = usualReference,
): MetabolicTime {
  const within = Math.min(q10Holds.to, Math.max(q10Holds.from, at))
  const tenths = (within - reference) / 10
  const days = ms / msPerDay
  return {
    least: so.least + Math.exp(tenths * logOf.least) * days,
    usual: so.usual + Math.exp(tenths * logOf.usual) * days,
    most: so.most + Math.exp(tenths * logOf.most) * days,
    beyond: so.beyond + (within === at ? 0 : ms),
  }
}

/** What `ms` at one temperature cost. */
export function metabolicTime(at: number, ms: number, reference: Celsius = usualReference): MetabolicTime {
  return addMetabolic(noMetabolicTime, at, ms, reference)
}

/** A winter has a million readings: e to a power costs a third of any other base to it. */
const logOf = { least: Math.log(q10.least), usual: Math.log(q10.usual), most: Math.log(q10.most) } as const

/** How many times as fast as at the reference temperature life runs at `at`. */
export const paceAt = (at: number, by: number, reference: Celsius): number => by ** ((at - reference) / 10)

/** The Q10 that follows from two rates: 20 times as much over 25 K is 3.31. Null where no two temperatures are given. */
export function q10Of(slower: number, faster: number, kelvin: number): number | null {
  if (!(slower > 0) || !(faster > 0) || kelvin === 0) return null
  return (faster / slower) ** (10 / kelvin)
}

export interface MetabolicDays {
  readonly days: number
  /** The least and the most that the published range of Q10 gives. */
  readonly from: number
  readonly to: number
}

/**
 * The usual figure in its band. `strict` guidance counts by `to`, `lenient` by `days`. The three figures need not
 * be in order: time colder than the reference costs least by the highest Q10.
 */
export function metabolicDays({ least, usual, most }: MetabolicTime): MetabolicDays {
  return { days: usual, from: Math.min(least, usual, most), to: Math.max(least, usual, most) }
}

const msPerDay = 86_400_000
