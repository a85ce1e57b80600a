import { z } from 'zod'
import { AnimalId, PictureId, PlaceId, SpeciesId } from './ids.ts'
import { Phase } from './species.ts'
import { Instant } from './units.ts'

/** From when a phase holds; it lasts until the next step. */
export const PlanStep = z.strictObject({ phase: Phase, from: Instant })
export type PlanStep = z.infer<typeof PlanStep>

/** A day as far as it is known: `2019`, `2019-08` or `2019-08-03`. */
export const RoughDate = z
  .string()
  .regex(
    /^\d{4}(?:-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12]\d|3[01]))?)?$/,
    'expected 2019, 2019-08 or 2019-08-03',
  )
export type RoughDate = z.infer<typeof RoughDate>

/** What the keeper wants of a winter: the day on which the hold begins, or the one on which the animal is woken. */
export const PlanWish = z.strictObject({
  by: z.enum(['hold', 'wake']),
  on: z.iso.date(),
  /** Length of the hold; absent: what is usual for the species. */
  weeks: z.number().positive().max(40).optional(),
})
export type PlanWish = z.infer<typeof PlanWish>

const PlanSteps = z
  .array(PlanStep)
  .max(40)
  .default([])
  .refine(isAscending, 'plan steps must be in order of time')

export const AgeClass = z.enum(['hatchling', 'juvenile', 'adult'])
export type AgeClass = z.infer<typeof AgeClass>

export const Animal = z.strictObject({
  id: AnimalId,
  name: z.string().min(1).max(60),
  species: SpeciesId,
  place: PlaceId.nullable(),
  /** What this winter holds for the animal. */
  mode: z.enum(['goesDown', 'staysAwake']),
  /** Phases in force, in order of time; empty means awake throughout. The band of its box follows them (L8). */
  plan: PlanSteps,
  /** The winter in preparation: nothing follows it but reminders, until cooling begins through the gate (S1). */
  draft: PlanSteps,
  /** What the draft was reckoned from. */
  wish: PlanWish.optional(),
  hatched: RoughDate.optional(),
  /** Where the hatch date is not known. */
  ageClass: AgeClass.optional(),
  sex: z.enum(['female', 'male']).optional(),
  /** With this keeper since. */
  since: RoughDate.optional(),
  /** It has been through a cold hold before. */
  hasWintered: z.boolean().optional(),
  /** Chip, ring or certificate number. */
  mark: z.string().max(80).optional(),
  portrait: PictureId.optional(),
  notes: z.string().max(2000).optional(),
})
export type Animal = z.infer<typeof Animal>

function isAscending(steps: readonly PlanStep[]): boolean {
  return steps.every((step, i) => i === 0 || step.from > (steps[i - 1]?.from ?? step.from))
}
