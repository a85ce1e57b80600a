import { z } from 'zod'
import { Priority } from './band.ts'
import { Instant } from './units.ts'

/**
 * One letter for each hour of a night: `.` nothing was heard · `i` inside the band · `l`, `h` below, above it at some time
 * of the hour · `L`, `H` beyond the critical limit.
 */
export const StripHours = z.string().regex(/^[.ilhLH]*$/)

/** A value of each hour of a night; null where nothing was heard. */
const Hourly = z.array(z.number().nullable())

/**
 * The nights of a winter hour by hour: the columns are as long as its list of nights and in its order. Hours are counted
 * from a night's beginning; each figure is of the clock hour whose middle lies in it.
 */
export const WinterStrip = z.strictObject({
  hours: z.array(StripHours),
  low: z.array(Hourly),
  high: z.array(Hourly),
  /** Alarms that were raised here by day and by night, oldest first. */
  raised: z.array(z.strictObject({ at: Instant, priority: Priority })),
  /** Openings of the door, oldest first. */
  opened: z.array(Instant),
  /** Silences between two readings, by day and by night: of more than an hour, and longer than its sensor is silent by itself. */
  gaps: z.int().min(0),
})
export type WinterStrip = z.infer<typeof WinterStrip>

export const emptyStrip: WinterStrip = { hours: [], low: [], high: [], raised: [], opened: [], gaps: 0 }
