import { z } from 'zod'
import { ConditionRule, Evidence } from './species.ts'
import { Instant } from './units.ts'

/** pass · watch: look closer, not forbidden · vet: hold for a vet · block: must not go down · unknown: nothing to judge by. */
export const ConditionVerdict = z.enum(['pass', 'watch', 'vet', 'block', 'unknown'])
export type ConditionVerdict = z.infer<typeof ConditionVerdict>

/** What one published rule says. `isValid` false: it does not hold for this species, size or entry, and the sentence says why. */
export const RuleFinding = z.strictObject({
  rule: ConditionRule,
  isValid: z.boolean(),
  value: z.number().nullable(),
  /** `g/cm³`, `log10`, `of 5` … for the screen. */
  unit: z.string(),
  verdict: ConditionVerdict,
  sentence: z.string(),
  source: z.string(),
  evidence: Evidence,
})
export type RuleFinding = z.infer<typeof RuleFinding>

/** Body condition by every rule that is valid: never one number alone. */
export const ConditionNow = z.strictObject({
  verdict: ConditionVerdict,
  sentence: z.string(),
  findings: z.array(RuleFinding),
  /** The straight line through the weigh-ins since feeding up began, with its 95 % interval, g a week; null: too few. */
  trend: z
    .strictObject({
      from: Instant,
      weighIns: z.int(),
      gramsPerWeek: z.number(),
      low: z.number(),
      high: z.number(),
    })
    .nullable(),
})
export type ConditionNow = z.infer<typeof ConditionNow>

/** well · watch: weigh again in two days · wake: end the hold · unknown: nothing to judge by. */
export const MassStanding = z.enum(['well', 'watch', 'wake', 'unknown'])
export type MassStanding = z.infer<typeof MassStanding>

/** Mass in hold against the entry weigh-in (S2). Percentages of the mass on entry; a loss is positive. */
export const MassNow = z.strictObject({
  standing: MassStanding,
  sentence: z.string(),
  entry: z.strictObject({ at: Instant, grams: z.number() }).nullable(),
  last: z.strictObject({ at: Instant, grams: z.number() }).nullable(),
  lostPercent: z.number().nullable(),
  /** In 30 days, by all weigh-ins since entry, with its 95 % interval where there are three or more. */
  monthly: z
    .strictObject({ percent: z.number(), low: z.number().nullable(), high: z.number().nullable() })
    .nullable(),
  /** Each published rule by itself. */
  rules: z.array(
    z.strictObject({
      rule: z.enum(['monthly', 'total', 'suddenDrop', 'gain']),
      limitPercent: z.number().nullable(),
      verdict: MassStanding,
      sentence: z.string(),
      source: z.string(),
      evidence: Evidence,
    }),
  ),
  /** When the total limit is met if it goes on so; null: not, or not known. `latest` null: perhaps never. */
  meetsTotal: z.strictObject({ soonest: Instant, likely: Instant, latest: Instant.nullable() }).nullable(),
  /** Asked after a sudden drop: was the box wet? */
  askUrinated: z.boolean(),
  /** What the box's air had to do with it: "lost 1.4 % in 20 days; the air was dry: 0.35 kPa". */
  air: z.string().nullable(),
})
export type MassNow = z.infer<typeof MassNow>
