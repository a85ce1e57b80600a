import { z } from 'zod'
import { LimitName } from './band.ts'
import { PlaceId, SensorId } from './ids.ts'
import { Instant, Millis } from './units.ts'

/** Time from now; null is never. The truth lies between `least` and `most` in nine cases of ten. */
export const OutlookTime = z.strictObject({
  likely: Millis.nullable(),
  least: Millis.nullable(),
  most: Millis.nullable(),
})
export type OutlookTime = z.infer<typeof OutlookTime>

/** A temperature, °C, with its standard uncertainty, K. */
const Roughly = z.strictObject({ celsius: z.number(), uncertainty: z.number().min(0) })

export const OutlookLimit = z.strictObject({
  limit: LimitName,
  /** °C; meeting it counts. */
  threshold: z.number(),
  time: OutlookTime,
})
export type OutlookLimit = z.infer<typeof OutlookLimit>

export const OutlookUnknown = z.enum([
  'notCooled',
  'noSensor',
  'silent',
  'noLimits',
  'noStretch',
  'tooShort',
  'tooUnsure',
  'noCycle',
])
export type OutlookUnknown = z.infer<typeof OutlookUnknown>

/** One thing that may go wrong, and when each limit would be met. */
export const OutlookScenario = z.discriminatedUnion('isKnown', [
  z.strictObject({
    isKnown: z.literal(true),
    /** Where it would settle. */
    towards: Roughly,
    /** In the order lowCritical, low, high, highCritical; those in force only. */
    limits: z.array(OutlookLimit).max(LimitName.options.length),
  }),
  z.strictObject({ isKnown: z.literal(false), why: OutlookUnknown, sentence: z.string() }),
])
export type OutlookScenario = z.infer<typeof OutlookScenario>

/** How long a limit is held off without power, as the place is and with or without bottles of water. */
export const OutlookHoldOver = z.strictObject({
  limit: LimitName,
  threshold: z.number(),
  without: OutlookTime,
  /** Litres of the bottles that `withBottles` tells of. */
  litres: z.number().positive(),
  withBottles: OutlookTime,
  /** Whether the bottles are inside: then `withBottles` is what was measured, else `without` is. */
  areInside: z.boolean(),
  /** Whether the one that is not inside now was reckoned, from the walls' conductance; else a trial run showed it. */
  isReckoned: z.boolean(),
  /** W/K from the bottles through the walls: from trial runs with and without them, or assumed as of other fridges. */
  conductance: z.strictObject({ watts: z.number().positive(), isMeasured: z.boolean() }),
})
export type OutlookHoldOver = z.infer<typeof OutlookHoldOver>

/** How long a place has if its cooling stops, or does not stop. */
export const PlaceOutlook = z.strictObject({
  place: PlaceId,
  at: Instant,
  /** The sensor that judges here, with what it said last. */
  now: z.strictObject({ sensor: SensorId, at: Instant, celsius: z.number() }).nullable(),
  /** What is around it: a thermometer's mean of the last day, or an assumption. */
  room: Roughly.extend({ isMeasured: z.boolean() }).nullable(),
  powerFails: OutlookScenario,
  stuckOn: OutlookScenario,
  /** What it was learnt from; null where nothing was. */
  from: z
    .strictObject({
      stretches: z.int().positive(),
      /** Of all of them together, and when the newest began. */
      lasted: Millis,
      newest: Instant,
      nodes: z.union([z.literal(1), z.literal(2)]),
      /** The slow time constant, and the standard uncertainty of its logarithm. */
      tau: Millis,
      share: z.number().min(0),
    })
    .nullable(),
  holdOver: OutlookHoldOver.nullable(),
})
export type PlaceOutlook = z.infer<typeof PlaceOutlook>
