import { z } from 'zod'
import { SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Instant } from './units.ts'

/** One value of one quantity from one sensor at one instant, in the quantity's own unit. */
export const Reading = z.strictObject({
  sensor: SensorId,
  quantity: Quantity,
  at: Instant,
  value: z.number(),
})
export type Reading = z.infer<typeof Reading>

/**
 * What is believed of a reading. `good` is judged; every other verdict is a named reason why the value is stored
 * and drawn as bad and never raises or clears a limit alarm by itself. The order is the stored code: append only.
 */
export const Quality = z.enum([
  'good',
  'outOfRange', // outside what this type of sensor can measure
  'spike', // jumped away and has not been confirmed by a second reading
  'stuck', // the same value for longer than this type of sensor keeps still
  'powerOn', // the value that a converter shows before its first conversion
  'busOpen', // the value that a broken wire gives
  'busLow', // the all-zero frame of a shorted line
  'saturated', // raw code all ones or all zeros
  'openCircuit', // the end of the scale of an analogue probe
  'checking', // the sensor is being checked and lies somewhere else
])
export type Quality = z.infer<typeof Quality>

export const qualityCode = (quality: Quality): number => Quality.options.indexOf(quality)
export const qualityFromCode = (code: number): Quality => Quality.options[code] ?? 'outOfRange'
