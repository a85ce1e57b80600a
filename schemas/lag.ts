import { z } from 'zod'
import { SensorId } from './ids.ts'
import { Instant, Millis } from './units.ts'

/** How the animals' side of a place follows its air, as far as a probe in the substrate tells (L11). */
export const PlaceLag = z.discriminatedUnion('isKnown', [
  z.strictObject({
    isKnown: z.literal(true),
    /** Time constant and its standard uncertainty. */
    tau: Millis,
    uncertainty: Millis,
    /** By how much the probe reads above what follows the air, K. */
    above: z.number(),
    from: Instant,
    to: Instant,
    air: SensorId,
    follower: SensorId,
  }),
  z.strictObject({
    isKnown: z.literal(false),
    why: z.enum(['noProbe', 'noAir', 'tooShort', 'tooSteady', 'notByTheAir']),
    sentence: z.string(),
  }),
])
export type PlaceLag = z.infer<typeof PlaceLag>
