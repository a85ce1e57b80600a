import { z } from 'zod'
import { Limit, Priority } from './band.ts'
import { Quantity } from './quantity.ts'
import { millis } from './amounts.ts'
import { DurationText } from './duration-text.ts'

const comparisons = ['below', 'atOrBelow', 'above', 'atOrAbove'] as const

/** One limit of a `rules.yaml`: exactly one of below, atOrBelow, above, atOrAbove. */
export const RuleLimit = z
  .strictObject({
    id: z.string().min(1).max(60),
    quantity: Quantity,
    below: z.number().optional(),
    atOrBelow: z.number().optional(),
    above: z.number().optional(),
    atOrAbove: z.number().optional(),
    for: DurationText.default(millis(0)),
    clearFor: DurationText.default(millis(0)),
    deadband: z.number().min(0).default(0),
    counting: z.enum(['continuous', 'cumulative']).default('continuous'),
    priority: Priority.default('high'),
  })
  .transform(({ below, atOrBelow, above, atOrAbove, ...rest }, ctx): Limit => {
    const given = { below, atOrBelow, above, atOrAbove }
    const used = comparisons.filter((name) => given[name] !== undefined)
    const [compare] = used
    if (used.length !== 1 || compare === undefined) {
      ctx.addIssue({ code: 'custom', message: 'give exactly one of below, atOrBelow, above, atOrAbove' })
      return z.NEVER
    }
    return { ...rest, compare, value: given[compare] as number }
  })

/** `rules.yaml` of `brumal replay`. Without `stale` the last value holds to the end of the file. */
export const Rules = z.strictObject({
  stale: DurationText.optional(),
  limits: z
    .array(RuleLimit)
    .min(1)
    .max(100)
    .refine(
      (limits) => new Set(limits.map((limit) => limit.id)).size === limits.length,
      'limit ids must differ',
    ),
})
export type Rules = z.infer<typeof Rules>

/** One line of `brumal replay --rules`. `sensor` is there only when the readings come from several. */
export const ReplayLine = z.strictObject({
  at: z.string(),
  limit: z.string(),
  event: z.enum(['raised', 'returned', 'silent', 'heard']),
  value: z.number(),
  sensor: z.string().optional(),
})
export type ReplayLine = z.infer<typeof ReplayLine>
