import { celsius } from '../../schemas/amounts.ts'
import type { Celsius } from '../../schemas/units.ts'

/**
 * ΔH/R in kelvin: 83.144 kJ/mol over 8.3144·10⁻³ kJ/(mol·K), USP <1160>, after Haynes 1971 (J Pharm Sci 60:927, page
 * from memory). Made for the spoiling of medicines; of an animal it only says how much warm hours outweigh cold ones.
 */
export const activationOverGas = 10_000

/**
 * The mean kinetic temperature so far, in constant memory: Σ wᵢ·e^(−10000/Tᵢ) kept as `sum` times e^`top`, so that no
 * term is ever too small to add. `weight` is Σ wᵢ.
 */
export interface Kinetic {
  readonly weight: number
  readonly top: number
  readonly sum: number
}

export const noKinetic: Kinetic = { weight: 0, top: -Infinity, sum: 0 }

/**
 * Counts one temperature in, weighted with the time that it held. A weight that is missing, negative or endless and a
 * temperature that cannot be are the caller's mistake, never a 0: they throw.
 */
export function addKinetic(so: Kinetic, at: number, weight: number): Kinetic {
  if (!(weight >= 0 && weight < Infinity)) throw new RangeError(`not a weight: ${weight}`)
  if (!isTemperature(at)) throw new RangeError(`not a temperature: ${at} °C`)
  if (weight === 0) return so
  const top = -activationOverGas / (at + absoluteZero)
  if (so.weight === 0) return { weight, top, sum: weight }
  // As `mergeKinetic`, with e⁰ left out: one of the two is always the top.
  return top > so.top
    ? { weight: so.weight + weight, top, sum: so.sum * Math.exp(so.top - top) + weight }
    : { weight: so.weight + weight, top: so.top, sum: so.sum + weight * Math.exp(top - so.top) }
}

/** Of two stretches together. */
export function mergeKinetic(one: Kinetic, other: Kinetic): Kinetic {
  if (one.weight === 0) return other
  if (other.weight === 0) return one
  const top = Math.max(one.top, other.top)
  const sum = one.sum * Math.exp(one.top - top) + other.sum * Math.exp(other.top - top)
  return { weight: one.weight + other.weight, top, sum }
}

/** Null where nothing was counted in. Never below the plain mean; equal to it only where the temperature stood still. */
export function meanKinetic({ weight, top, sum }: Kinetic): Celsius | null {
  if (weight === 0) return null
  return celsius(activationOverGas / -(Math.log(sum / weight) + top) - absoluteZero)
}

/** Above absolute zero, and a number. */
export const isTemperature = (at: number): boolean => at > -absoluteZero && at < Infinity

const absoluteZero = 273.15 // K at 0 °C
