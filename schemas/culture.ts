import { z } from 'zod'
import { PlaceId } from './ids.ts'
import { Evidence } from './species.ts'
import { Instant } from './units.ts'

export const LiveFood = z.enum(['houseCricket', 'desertLocust', 'mealworm', 'woodlouse', 'fruitFly'])
export type LiveFood = z.infer<typeof LiveFood>

/** A place that holds live food: what, how it is counted, and what a week takes. */
export const Culture = z.strictObject({
  food: LiveFood,
  unit: z.enum(['pieces', 'grams']),
  /** Taken out in a week, in that unit. */
  weeklyUse: z.number().min(0).max(1e6),
  /** Weeks from ordering new stock until it is here. */
  orderWeeks: z.number().min(0).max(12).default(1),
})
export type Culture = z.infer<typeof Culture>

/** How long a culture feeds its eaters. */
export const CultureNow = z.strictObject({
  place: PlaceId,
  name: z.string(),
  food: LiveFood,
  unit: z.enum(['pieces', 'grams']),
  /** Counted last, with what was added and taken since; null: never counted. */
  stock: z.strictObject({ amount: z.number(), countedAt: Instant }).nullable(),
  weeklyUse: z.number(),
  /** Null: not known, or nothing is used. */
  weeksLeft: z.number().nullable(),
  /** Local date by which new stock is to be ordered; null: not known. */
  orderBy: z.iso.date().nullable(),
  isLow: z.boolean(),
  /** How the warmth of the last week suits it. `slower`: times slower than at its optimum; null: no growth, or not known. */
  warmth: z
    .strictObject({
      celsius: z.number(),
      /** `unknown`: warmer or colder than anything published of it. */
      standing: z.enum(['good', 'slow', 'stopped', 'harmful', 'unknown']),
      slower: z.number().nullable(),
      sentence: z.string(),
      source: z.string(),
      evidence: Evidence,
    })
    .nullable(),
  sentence: z.string(),
})
export type CultureNow = z.infer<typeof CultureNow>
