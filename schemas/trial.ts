import { z } from 'zod'
import { Instant } from './units.ts'

/** A stretch of time; `until` is null while it goes on. */
const Stretch = z
  .strictObject({ from: Instant, until: Instant.nullable() })
  .refine(({ from, until }) => until === null || until > from, 'it must end after it begins')

/** Days of running a place empty, before any animal goes in; the newest one is kept with its place. */
export const Trial = z.strictObject({
  from: Instant,
  until: Instant.nullable(),
  by: z.string().min(1).max(60),
  /** Water in bottles or jugs inside, L. */
  litres: z.number().min(0).max(1000).default(0),
  /** Times in which the keeper had pulled its plug on purpose, oldest first. */
  plugOut: z.array(Stretch).max(20).default([]),
})
export type Trial = z.infer<typeof Trial>
