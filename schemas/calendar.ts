import { z } from 'zod'
import { Instant } from './units.ts'

/** Somebody's own calendar feed: whether there is one, and since when. Its address is told once. */
export const CalendarNow = z.strictObject({ madeAt: Instant.nullable() })
export type CalendarNow = z.infer<typeof CalendarNow>

export const MadeCalendar = z.strictObject({
  madeAt: Instant,
  /** Whoever knows it reads the feed without a sign-in. */
  address: z.string().max(1000),
})
export type MadeCalendar = z.infer<typeof MadeCalendar>
