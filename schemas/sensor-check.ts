import { z } from 'zod'
import { hours, minutes } from './amounts.ts'
import { CalibratedQuantity, Reference } from './calibration.ts'
import { SensorId } from './ids.ts'
import { Instant } from './units.ts'

/** Longer is no check but a sensor put away: two hours to make a bath, and its longest settling, are under four. Derived. */
export const longestCheck = hours(4)

/**
 * The sensor lies somewhere else, in melting ice or beside a reference: from `since` (included) to `until` what it reads
 * is kept and drawn, but says nothing about its place.
 */
export const SensorCheck = z
  .strictObject({ since: Instant, until: Instant, by: z.string().min(1).max(60) })
  .refine(
    ({ since, until }) => until > since && until - since <= longestCheck,
    'a check ends after it begins, and lasts at most 4 h',
  )
export type SensorCheck = z.infer<typeof SensorCheck>

/** Minutes from now; zero ends the check that is running. */
export const StartCheck = z.strictObject({
  minutes: z
    .int()
    .min(0)
    .max(longestCheck / minutes(1)),
})
export type StartCheck = z.infer<typeof StartCheck>

/** Newest raw readings in one answer: two hours of one each 15 s; a page that follows asks for what is newer (X3). */
export const mostRaw = 500

/** What a sensor said, uncorrected and believed or not, in order of time; `at` is the daemon's own time. */
export const RawReadings = z.strictObject({
  sensor: SensorId,
  quantity: CalibratedQuantity,
  at: Instant,
  readings: z.array(z.strictObject({ at: Instant, raw: z.number() })).max(mostRaw),
})
export type RawReadings = z.infer<typeof RawReadings>

const found = {
  /** From when it counts: lately, for the past keeps what was known then; now when left out. */
  from: Instant.optional(),
  note: z.string().trim().max(300).optional(),
}

/** A correction as somebody found it. Gain and offset are worked out from the points; without any, they are what is given. */
export const FoundCorrection = z.discriminatedUnion('method', [
  z.strictObject({
    ...found,
    method: z.literal('icePoint'),
    quantity: z.literal('temperature'),
    references: z.array(Reference).length(1),
  }),
  z.strictObject({
    ...found,
    method: z.literal('twoPoint'),
    quantity: CalibratedQuantity,
    references: z.array(Reference).length(2),
  }),
  z
    .strictObject({
      ...found,
      method: z.literal('entered'),
      quantity: CalibratedQuantity,
      references: z.array(Reference).max(2).default([]),
      offset: z.number().optional(),
      uncertainty: z.number().min(0).max(20).optional(),
    })
    .refine(
      ({ references, offset, uncertainty }) =>
        references.length > 0
          ? offset === undefined && uncertainty === undefined
          : offset !== undefined && uncertainty !== undefined,
      'give either points, or a correction and how sure it is',
    ),
])
export type FoundCorrection = z.infer<typeof FoundCorrection>
