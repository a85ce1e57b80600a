import { z } from 'zod'
import { Quantity } from './quantity.ts'
import { Millis } from './units.ts'

/** low: tell in the morning · medium: tell once, then again · high: ring until somebody answers. */
export const Priority = z.enum(['low', 'medium', 'high'])
export type Priority = z.infer<typeof Priority>

export const LimitName = z.enum(['lowCritical', 'low', 'high', 'highCritical'])
export type LimitName = z.infer<typeof LimitName>

/**
 * One edge of a band (L1). The value itself is already out when `inclusive`. `for` is the on-delay, `clearFor` the
 * off-delay (ISA-18.2 / IEC 62682), `deadband` in the quantity's unit acts on coming back.
 */
export const BandLimit = z.strictObject({
  value: z.number(),
  inclusive: z.boolean().default(true),
  for: Millis,
  clearFor: Millis,
  deadband: z.number().min(0),
  priority: Priority,
  /** Who needs it, for the screen: an animal in its phase, or the keeper. */
  because: z.string().max(200),
  /** Where the number comes from; null for the keeper's own. */
  source: z.string().max(400).nullable(),
  /** Where it rings already, moved inwards by the uncertainty of the sensor that judges here (L9). */
  guarded: z.number().optional(),
  /** How far that sensor may be off, ± (k = 2); absent in what was written before it was told apart. */
  expanded: z.number().min(0).optional(),
})
export type BandLimit = z.infer<typeof BandLimit>

/** The safe range in force in a place at an instant, for one quantity. `null` where no limit applies. */
export const Band = z.strictObject({
  lowCritical: BandLimit.nullable(),
  low: BandLimit.nullable(),
  high: BandLimit.nullable(),
  highCritical: BandLimit.nullable(),
})
export type Band = z.infer<typeof Band>

export const Bands = z.partialRecord(Quantity, Band)
export type Bands = z.infer<typeof Bands>

/** A single limit as the judge sees it: exactly one comparison, with its delays and way of counting (L1). */
export const Limit = z.strictObject({
  id: z.string().min(1).max(60),
  quantity: Quantity,
  compare: z.enum(['below', 'atOrBelow', 'above', 'atOrAbove']),
  value: z.number(),
  for: Millis,
  clearFor: Millis,
  deadband: z.number().min(0),
  counting: z.enum(['continuous', 'cumulative']),
  priority: Priority,
})
export type Limit = z.infer<typeof Limit>
