import type { Priority } from '../../schemas/band.ts'

/** Lengths offered for shelving, in minutes: at most 8 h, 1 h for high (A2). */
export const shelfMinutes = (priority: Priority): number[] =>
  shelfMinutesUpTo((priority === 'high' ? 60 : 480) * 60_000)

/** Those of the offered lengths that are no longer than `longest` in ms. */
export const shelfMinutesUpTo = (longest: number): number[] =>
  [15, 30, 60, 120, 240, 480].filter((min) => min * 60_000 <= longest)
