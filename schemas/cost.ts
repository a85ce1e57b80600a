import { z } from 'zod'
import { LimitName } from './band.ts'
import { PlaceId, SensorId } from './ids.ts'
import { Instant, Millis } from './units.ts'

/** Between which two figures the truth lies; both the same where every reading is kept. */
export const Between = z.strictObject({ least: z.number(), most: z.number() })
export type Between = z.infer<typeof Between>

const At = z.strictObject({ at: Instant, value: z.number() })

/** What a stretch of winter did to one place, by the temperature of the sensor that judges it. Times in ms. */
export const PlaceCost = z.strictObject({
  place: PlaceId,
  /** Null where no sensor has ever been heard. */
  sensor: SensorId.nullable(),
  from: Instant,
  to: Instant,
  known: Millis,
  /** Time without a believable value: in no other figure. */
  unknown: Millis,
  /** The part of `known` of which only figures of whole hours are kept; mean kinetic temperature, degree-hours and metabolic days are bounds there. */
  fromHours: Millis,
  mean: z.number().nullable(),
  meanKinetic: Between.nullable(),
  /** Out of each limit that was in force; beyond `low` holds the time beyond `lowCritical`. Degree-hours in K·h. */
  beyond: z.array(z.strictObject({ limit: LimitName, time: Millis, degreeHours: Between })),
  /** Days at `reference` °C that would have used as much, least and most by the published range of Q10. */
  metabolicDays: z.strictObject({
    days: z.number(),
    least: z.number(),
    most: z.number(),
    reference: z.number(),
    /** Time beyond where that range holds, counted as its end. */
    beyond: Millis,
  }),
  /** Coldest and warmest reading; of hours of which only figures are kept, at their beginning. */
  min: At.nullable(),
  max: At.nullable(),
  nights: z.array(z.strictObject({ date: z.iso.date(), at: Instant, min: z.number() })),
})
export type PlaceCost = z.infer<typeof PlaceCost>
