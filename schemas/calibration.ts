import { z } from 'zod'
import { leastGain, mostGain, mostOffset } from './calibration-bounds.ts'
import { Instant } from './units.ts'

/** The quantities that a reading of may be corrected; contacts, supplies and batteries are not. */
export const CalibratedQuantity = z.enum(['temperature', 'humidity'])
export type CalibratedQuantity = z.infer<typeof CalibratedQuantity>

/**
 * One point at which a sensor was compared, in the quantity's unit. `uncertainty` is the standard uncertainty (k = 1) of
 * the whole comparison: that of the true value and that of what the sensor showed.
 */
export const Reference = z.strictObject({
  raw: z.number(),
  true: z.number(),
  uncertainty: z.number().min(0).max(20),
})
export type Reference = z.infer<typeof Reference>

/** How a correction was found: in melting ice (ASTM E563), at two points, or taken from a certificate or another thermometer. */
export const CalibrationMethod = z.enum(['icePoint', 'twoPoint', 'entered'])
export type CalibrationMethod = z.infer<typeof CalibrationMethod>

/** References that each way of finding a correction has. */
const referencesOf = { icePoint: [1], twoPoint: [2], entered: [0, 1, 2] } as const

/**
 * A correction of one quantity of one sensor, in force from its instant (included) until the next one's: value =
 * gain · raw + offset. Readings are kept raw; each is corrected by the calibration of its own time.
 */
export const Calibration = z
  .strictObject({
    from: Instant,
    quantity: CalibratedQuantity,
    gain: z.number().min(leastGain).max(mostGain).default(1),
    /** In the quantity's unit. */
    offset: z.number().min(-mostOffset).max(mostOffset),
    /** Standard uncertainty (k = 1) of the correction at its points, in the quantity's unit. */
    uncertainty: z.number().min(0).max(20),
    references: z.array(Reference).max(2).default([]),
    method: CalibrationMethod,
    by: z.string().min(1).max(60),
    note: z.string().max(300).optional(),
  })
  .refine(
    ({ method, references }) => (referencesOf[method] as readonly number[]).includes(references.length),
    'an ice point has one reference, two points have two',
  )
  .refine(
    ({ references: [one, other] }) => one === undefined || other === undefined || one.raw !== other.raw,
    'two references must not be at the same raw value',
  )
export type Calibration = z.infer<typeof Calibration>

/** Whether no two of them are of the same quantity and from the same instant: else it is open which is in force. */
export function areDistinct(calibrations: readonly Calibration[]): boolean {
  return new Set(calibrations.map(({ quantity, from }) => `${quantity} ${from}`)).size === calibrations.length
}
