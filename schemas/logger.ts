import { z } from 'zod'
import { seconds } from './amounts.ts'
import { PlaceId, SensorId } from './ids.ts'
import { Millis } from './units.ts'

/**
 * What wrote a table that was taken in: a past winter's logger. It has readings and a place, and nothing more is heard of
 * it: nobody judges it, and its silence is no alarm. Its id is none of a sensor's.
 */
export const Logger = z.strictObject({
  id: SensorId,
  name: z.string().trim().min(1).max(60),
  place: PlaceId.nullable(),
  /** What it touched. */
  spot: z.enum(['air', 'substrate', 'water', 'basking']).default('air'),
  /** How often it wrote; a longer silence is drawn as a gap. */
  every: Millis.default(seconds(600)),
})
export type Logger = z.infer<typeof Logger>
