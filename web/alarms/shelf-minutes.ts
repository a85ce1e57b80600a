import type { Priority } from '../../schemas/band.ts'

/** Lengths offered for shelving, in minutes: at most 8 h, 1 h for high (A2). */
export const shelfMinutes = (priority: Priority): number[] =>
  [15, 30, 60, 120, 240, 480].filter((min) => priority !== 'high' || min <= 60)
