import { z } from 'zod'
import { PlanStep, PlanWish } from './animal.ts'
import { ConditionNow, MassNow } from './condition.ts'
import { CultureNow } from './culture.ts'
import { DiaryLine } from './diary.ts'
import { AnimalId, PlaceId, SpeciesId } from './ids.ts'
import { Evidence, Phase } from './species.ts'
import { Instant } from './units.ts'

/** A sentence that rests on a published figure. */
const sourced = { sentence: z.string(), source: z.string().nullable(), evidence: Evidence.nullable() }

/** What speaks against a plan. `refused`: past a cap (S3), only with a reason; `warning`: allowed, said aloud. */
export const PlanConflict = z.strictObject({
  kind: z.enum([
    'neverDown',
    'tooLong',
    'tooYoung',
    'tooLight',
    'tooFast',
    'tooLate',
    'boxMates',
    'placeNotReady',
    'fastTooShort',
  ]),
  weight: z.enum(['refused', 'warning']),
  ...sourced,
})
export type PlanConflict = z.infer<typeof PlanConflict>

/** A winter reckoned from a wish: the phases, and days on the way. */
export const PlanProposal = z.strictObject({
  steps: z.array(PlanStep),
  wish: PlanWish,
  /** Days on the way that are no phases, in order of time. */
  marks: z.array(
    z.strictObject({
      kind: z.enum(['faecesTest', 'healthCheck', 'lastMeal', 'coolStep', 'firstBath', 'firstMeal']),
      at: Instant,
      ...sourced,
    }),
  ),
  conflicts: z.array(PlanConflict),
  /** The figures that it rests on, for the screen. */
  figures: z.array(
    z.strictObject({
      name: z.string(),
      value: z.number(),
      unit: z.string(),
      source: z.string(),
      evidence: Evidence,
    }),
  ),
})
export type PlanProposal = z.infer<typeof PlanProposal>

export const GateCheck = z.enum([
  'profile', // the species is known and may go down
  'age',
  'mass', // heavy enough
  'kept', // long enough with this keeper
  'weighed', // a weigh-in of the last days
  'condition',
  'health',
  'gut', // the last meal is long enough ago, and it was warm meanwhile
  'place', // a watched place with a fresh sensor
  'alarm', // a tested alarm
  'cap', // the hold is not longer than allowed
])
export type GateCheck = z.infer<typeof GateCheck>

/** met · missing: not done or not known yet · against: judged, and it says no. */
export const GateItem = z.strictObject({
  check: GateCheck,
  standing: z.enum(['met', 'missing', 'against']),
  ...sourced,
})
export type GateItem = z.infer<typeof GateItem>

/** Whether an animal may go down (S1): open only when every check is met. */
export const Gate = z.strictObject({ isOpen: z.boolean(), items: z.array(GateItem) })
export type Gate = z.infer<typeof Gate>

/** Why a hold should end. */
export const WakeReason = z.enum([
  'cap',
  'mass',
  'urinated',
  'active',
  'sign',
  'tooCold',
  'tooWarm',
  'planned',
])
export type WakeReason = z.infer<typeof WakeReason>

export const WakeNow = z.strictObject({
  standing: z.enum(['no', 'soon', 'now']),
  reasons: z.array(z.strictObject({ reason: WakeReason, at: Instant, isNow: z.boolean(), ...sourced })),
})
export type WakeNow = z.infer<typeof WakeNow>

/** A step after waking, with its hour. `late`: past its hour and not done; with `isVet` it then sends to a vet. */
export const WakingStep = z.strictObject({
  step: z.enum(['warm', 'drink', 'urates', 'eat', 'normal']),
  /** Not before: what comes first has its time until then. */
  from: Instant,
  due: Instant,
  doneAt: Instant.nullable(),
  standing: z.enum(['ahead', 'waiting', 'done', 'late']),
  isVet: z.boolean(),
  ...sourced,
})
export type WakingStep = z.infer<typeof WakingStep>

export const ReminderKind = z.enum([
  'weigh',
  'measure',
  'look',
  'air',
  'bathe',
  'faecesTest',
  'healthCheck',
  'lastMeal',
  'beginCooling',
  'hold',
  'beginWarming',
  'wakeNow',
  'drink',
  'urates',
  'firstMeal',
  'vet',
  'order',
  'count',
])
export type ReminderKind = z.infer<typeof ReminderKind>

/** Something for a hand (S4). Its id is the same each time it is worked out, so that a calendar knows it again. */
export const Reminder = z.strictObject({
  id: z.string().max(160),
  kind: ReminderKind,
  animal: AnimalId.optional(),
  place: PlaceId.optional(),
  /** `Weigh Pebble`. */
  title: z.string(),
  /** Local date on which it is due. */
  on: z.iso.date(),
  standing: z.enum(['late', 'due', 'coming']),
  ...sourced,
})
export type Reminder = z.infer<typeof Reminder>

/** What is to be done, by day. */
export const DayList = z.strictObject({
  date: z.iso.date(),
  /** Late and due today, the most pressing first. */
  due: z.array(Reminder),
  /** The days after, in order. */
  coming: z.array(Reminder),
  /** Noted today. */
  done: z.array(DiaryLine),
})
export type DayList = z.infer<typeof DayList>

/** Everything that is judged of one animal now. */
export const AnimalStanding = z.strictObject({
  animal: AnimalId,
  phase: Phase,
  /** Years, as far as the hatch date is known; null: not known. */
  years: z.number().nullable(),
  condition: ConditionNow,
  /** In hold only. */
  mass: MassNow.nullable(),
  /** Of the draft; null where nothing is being prepared. */
  gate: Gate.nullable(),
  wake: WakeNow,
  /** After waking, until all is normal. */
  waking: z.array(WakingStep),
  reminders: z.array(Reminder),
  /** An entry that looks like a slip of the hand, most likely of units; null: none. */
  doubt: z.string().nullable(),
})
export type AnimalStanding = z.infer<typeof AnimalStanding>

/** One animal's row of the season. */
export const SeasonRow = z.strictObject({
  animal: AnimalId,
  species: SpeciesId,
  place: PlaceId.nullable(),
  phase: Phase,
  plan: z.array(PlanStep),
  draft: z.array(PlanStep),
  marks: PlanProposal.shape.marks,
  conflicts: z.array(PlanConflict),
  gate: Gate.nullable(),
  wake: WakeNow,
})
export type SeasonRow = z.infer<typeof SeasonRow>

/** The season of every animal, and who must be woken first. */
export const SeasonNow = z.strictObject({
  season: z.string(),
  from: Instant,
  to: Instant,
  at: Instant,
  rows: z.array(SeasonRow),
  /** To be woken, the most pressing first. */
  wakeFirst: z.array(AnimalId),
  cultures: z.array(CultureNow),
})
export type SeasonNow = z.infer<typeof SeasonNow>
