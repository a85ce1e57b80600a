import { z } from 'zod'
import { Instant } from './units.ts'

/** The way to the broker elsewhere, in one word and one sentence. */
export const UpstreamState = z.strictObject({
  name: z.enum(['starting', 'up', 'down']),
  sentence: z.string(),
  since: Instant,
  retryAt: Instant.nullable(),
})
export type UpstreamState = z.infer<typeof UpstreamState>

/** What has not gone on yet. */
export const UpstreamWaiting = z.strictObject({
  /** Of the last hour or two. */
  readings: z.int().min(0),
  /** Of older ones, hours of one quantity of one sensor. */
  hours: z.int().min(0),
  alarmChanges: z.int().min(0),
  /** The oldest of all of it, to the hour where it is older than the last hour or two; null where nothing waits. */
  oldest: Instant.nullable(),
})
export type UpstreamWaiting = z.infer<typeof UpstreamWaiting>

/** How passing on to a broker elsewhere stands. */
export const UpstreamNow = z.strictObject({
  site: z.string(),
  ...UpstreamState.shape,
  waiting: UpstreamWaiting,
  /** Since the start. */
  sent: z.strictObject({ readings: z.int().min(0), alarmChanges: z.int().min(0) }),
  lastSentAt: Instant.nullable(),
})
export type UpstreamNow = z.infer<typeof UpstreamNow>
