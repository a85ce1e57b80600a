import { z } from 'zod'
import { PlaceId, SensorId } from './ids.ts'
import { Instant, Millis } from './units.ts'

/** How dry the air of one place was through a stretch, and how long its coldest surface was wet. Times in ms. */
export const PlaceAir = z.strictObject({
  place: PlaceId,
  from: Instant,
  to: Instant,
  /** Whose readings these are; null where no sensor of this place or of the fridge around it tells both. */
  humidity: SensorId.nullable(),
  temperature: SensorId.nullable(),
  known: Millis,
  /** Time without a believable pair of values: in no other figure. */
  unknown: Millis,
  /** The part of `known` of which only means of whole hours are kept. */
  fromHours: Millis,
  /** Mean vapour-pressure deficit over the time known, kPa. */
  meanDeficit: z.number().nullable(),
  /** Its sum over the time known, kPa·h: what loss of water follows. */
  drying: z.number(),
  /** Of the coldest surface that is measured; null where no other thermometer shares this air. */
  wetting: z.strictObject({ wet: Millis, near: Millis, dry: Millis, unknown: Millis }).nullable(),
})
export type PlaceAir = z.infer<typeof PlaceAir>
