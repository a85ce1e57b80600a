import type { Random } from '../../daemon/practice/random.ts'

/** Even between the two. */
export const between = (random: Random, low: number, high: number): number =>
  low + (high - low) * random.uniform()

/** Even in its logarithm: half of the draws lie below the geometric mean. */
export const spread = (random: Random, low: number, high: number): number =>
  low * (high / low) ** random.uniform()

export const chance = (random: Random, share: number): boolean => random.uniform() < share

export function pick<T>(random: Random, from: readonly [T, ...T[]]): T {
  return from[Math.floor(random.uniform() * from.length)] ?? from[0]
}

/** Normal, cut at ± `most`. */
export const limitedNormal = (random: Random, sd: number, most: number): number =>
  Math.max(-most, Math.min(most, sd * random.normal()))
