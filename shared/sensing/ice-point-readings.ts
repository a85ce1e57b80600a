import { minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

export interface IceReading {
  readonly at: Instant
  readonly raw: number
}

/** Readings that must agree: five, as is usual at the ice point (ASTM E563 procedure, from memory). */
export const readingsForSteady = 5

/** … in two minutes, that is one each 30 s: of a faster sensor the ones between are let pass. A slower one takes its time. */
export const keptEvery: Millis = seconds(30)

/**
 * All that was kept this long must agree, where there is as much; five at least. Derived: a probe in a thick sheath
 * creeps, and looks at rest for two minutes long before it is; over five it is seen to move.
 */
const steadyOver: Millis = minutes(5)

/** Ten minutes at 30 s: what the bath is compared with. Older ice says nothing about the bath of now. Derived. */
const mostKept = 21

/** With one more, if it is long enough after the last kept; else the same array. The oldest go. */
export function withReading(kept: readonly IceReading[], reading: IceReading): readonly IceReading[] {
  const last = kept.at(-1)
  if (last !== undefined && reading.at - last.at < keptEvery) return kept
  return [...kept, reading].slice(-mostKept)
}

/** The readings that must agree: those of the last five minutes, or the last five; null while there are fewer. */
export function windowOf(kept: readonly IceReading[]): readonly IceReading[] | null {
  const newest = kept.at(-1)
  if (newest === undefined || kept.length < readingsForSteady) return null
  const recent = kept.filter(({ at }) => newest.at - at <= steadyOver).length
  return kept.slice(-Math.max(recent, readingsForSteady))
}

/** The coldest that two readings after one another agree on: a single wild value is none. +∞ before there are two. */
export function lowestOf(readings: readonly IceReading[]): number {
  const pairs = readings.slice(1).map(({ raw }, i) => Math.max(raw, readings[i]?.raw ?? raw))
  return Math.min(...pairs)
}

/** Whether they go one way only, and go: a probe that still creeps, however little. Noise and a trembling last digit turn. */
export function isCreeping(readings: readonly IceReading[]): boolean {
  const steps = readings.slice(1).map(({ raw }, i) => raw - (readings[i]?.raw ?? raw))
  return steps.some((step) => step > 0) !== steps.some((step) => step < 0)
}

export const meanOf = (readings: readonly IceReading[]): number =>
  readings.reduce((sum, { raw }) => sum + raw, 0) / readings.length

/** Experimental standard deviation, n − 1 (GUM 4.2.2); 0 for fewer than two. */
export function scatterOf(readings: readonly IceReading[]): number {
  const mean = meanOf(readings)
  const squares = readings.reduce((sum, { raw }) => sum + (raw - mean) ** 2, 0)
  return readings.length < 2 ? 0 : Math.sqrt(squares / (readings.length - 1))
}
