import type { Taxon } from '../../../schemas/species.ts'

/** Jackson ratio in g/cm³: mass in g over the cube of the straight carapace length in cm (Jackson 1980). */
export const jacksonRatio = (grams: number, lengthCm: number): number => grams / lengthCm ** 3

/** Condition index log10(M/M′), M′ the mass expected of this length for species and sex (Hailey 2000). */
export const haileyIndex = (grams: number, expectedGrams: number): number => Math.log10(grams / expectedGrams)

/** M/M′ from the condition index: −0.04 is 0.912. */
export const haileyShare = (index: number): number => 10 ** index

/**
 * M′ = a·L^b in g, L in cm. The constants are fitted for one species and sex; none are published in what could
 * be read here.
 */
export interface HaileyConstants {
  readonly a: number
  readonly b: number
}
export const haileyExpected = ({ a, b }: HaileyConstants, lengthCm: number): number => a * lengthCm ** b

/** Mass over length × width × height, g/cm³ (Nagy et al. 2002). */
export const boxVolumeIndex = (grams: number, lengthCm: number, widthCm: number, heightCm: number): number =>
  grams / (lengthCm * widthCm * heightCm)

/** π/6 · length × width × height, cm³ (Loehr and co-workers). */
export const ellipsoidVolume = (lengthCm: number, widthCm: number, heightCm: number): number =>
  (Math.PI / 6) * lengthCm * widthCm * heightCm

/**
 * Mass in g that an animal of this length in cm has about, M = a·L^b with L in metres: carapace of turtles and
 * tortoises, snout to vent of lizards and amphibians, whole length of snakes (Pough 1980; lizards Meiri 2010).
 * Finds slips of the hand, judges no health.
 */
export function expectedMassOfLength(taxon: Taxon, lengthCm: number): number {
  const { a, b } = massOfMetre[taxon]
  return a * (lengthCm / 100) ** b
}

const shelled = { a: 93_554.48, b: 2.69 }
const massOfMetre: Readonly<Record<Taxon, HaileyConstants>> = {
  tortoise: shelled,
  turtle: shelled,
  snake: { a: 723.6756, b: 3.02 },
  lizard: { a: 16_368.17, b: 3.022 },
  frog: { a: 181_197.1, b: 3.24 },
  salamander: { a: 13_654.4, b: 2.94 },
}
