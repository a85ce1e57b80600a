import type { Random } from './random.ts'

/** Noise with a memory: weather, or how wet a substrate is. */
export interface NoiseModel {
  /** Standard deviation in the long run. */
  readonly sd: number
  /** Time in ms after which the memory has faded to 1/e. */
  readonly memory: number
}

/** The next value of an Ornstein–Uhlenbeck process; exact for any step (Gillespie 1996, value from memory). */
export function nextNoise(value: number, { sd, memory }: NoiseModel, stepMs: number, random: Random): number {
  const kept = Math.exp(-stepMs / memory)
  return value * kept + sd * Math.sqrt(1 - kept * kept) * random.normal()
}
