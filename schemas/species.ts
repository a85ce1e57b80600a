import { z } from 'zod'
import { LimitName, Priority } from './band.ts'
import { SpeciesId } from './ids.ts'
import { Millis } from './units.ts'

/**
 * How far a number can be trusted: read in the source named; read second-hand; from memory; common practice without a
 * formal source; derived by arithmetic or design from the others.
 */
export const Evidence = z.enum(['read', 'secondHand', 'memory', 'commonPractice', 'derived'])
export type Evidence = z.infer<typeof Evidence>

export const Phase = z.enum(['feedUp', 'fast', 'coolDown', 'hold', 'warmUp', 'awake'])
export type Phase = z.infer<typeof Phase>

/** Which published advice applies where sources conflict. */
export const Guidance = z.enum(['strict', 'lenient'])
export type Guidance = z.infer<typeof Guidance>

/** One number of a profile with where it comes from; `lenient` is the other published figure where sources conflict. */
export const SourcedLimit = z.strictObject({
  limit: LimitName,
  value: z.number(),
  lenient: z.number().optional(),
  inclusive: z.boolean().default(true),
  for: Millis,
  priority: Priority,
  source: z.string().trim().min(1).max(400),
  evidence: Evidence,
})
export type SourcedLimit = z.infer<typeof SourcedLimit>

/** Limits of one phase. Temperature in °C, humidity in %RH. */
export const PhaseBand = z.strictObject({
  temperature: z.array(SourcedLimit).max(4),
  humidity: z.array(SourcedLimit).max(4).default([]),
})
export type PhaseBand = z.infer<typeof PhaseBand>

/** One figure with where it comes from; `lenient` is the other published one where sources conflict. */
export const Figure = z.strictObject({
  value: z.number(),
  lenient: z.number().optional(),
  source: z.string().trim().min(1).max(400),
  evidence: Evidence,
})
export type Figure = z.infer<typeof Figure>

export const Taxon = z.enum(['tortoise', 'turtle', 'snake', 'lizard', 'frog', 'salamander'])
export type Taxon = z.infer<typeof Taxon>

/** How a species is brought down, held and woken. Temperatures in °C. */
export const SeasonFigures = z.strictObject({
  /** From this temperature it is cooled, and up to this one it is warmed. */
  warm: Figure,
  /** What the hold aims at. */
  aim: Figure,
  usualWeeks: Figure,
  /** The longest hold of an adult (S3), weeks. */
  mostWeeks: Figure,
  /** The longest hold of a young animal and of one that goes down for the first time, weeks. */
  youngMostWeeks: Figure.optional(),
  /** Weeks without food before it is cooled. */
  fastWeeks: Figure,
  /** Kept at least so warm while the gut empties. */
  fastWarm: Figure.optional(),
  /** Fastest cooling, K a week. */
  coolPerWeek: Figure,
  /** Days from the end of hold until it is warm again. */
  warmUpDays: Figure,
  /** Youngest age that may go down, years; a lenient 0 lets every age. */
  leastYears: Figure.optional(),
  /** Lightest that may go down, g. */
  leastGrams: Figure.optional(),
  /** With this keeper for at least so long before a first winter, months. */
  leastMonthsKept: Figure.optional(),
  /** How often it is weighed and looked at in hold, and its air changed, days. */
  weighDays: Figure,
  lookDays: Figure,
  airDays: Figure,
  /** How often it is bathed while it fasts, days. */
  batheDays: Figure.optional(),
  /** Weeks of good feeding before the fast. */
  feedUpWeeks: Figure.optional(),
  /** Days of normal warmth before the first meal. */
  firstMealDays: Figure,
  /** Without food or urates for so long after waking: to a vet, days. */
  vetDays: Figure,
  /** Hours of light a day when the cooling begins and when it ends. */
  lightFrom: Figure.optional(),
  lightTo: Figure.optional(),
})
export type SeasonFigures = z.infer<typeof SeasonFigures>

/** What an animal may lose in hold, % of its mass on entry. */
export const MassFigures = z.strictObject({
  /** In 30 days. */
  monthlyPercent: Figure,
  /** In all. */
  totalPercent: Figure,
  /** Amphibians in moist soil take water up: a gain is no sign of anything. */
  gainIsUsual: z.boolean().default(false),
})
export type MassFigures = z.infer<typeof MassFigures>

/** Published rules of body condition; each is valid for some species only. */
export const ConditionRule = z.enum([
  'jackson',
  'hailey',
  'boxVolume',
  'ellipsoid',
  'visualFive',
  'visualNine',
])
export type ConditionRule = z.infer<typeof ConditionRule>

/** What an animal that stays awake is given. Temperatures in °C, light in hours a day. */
export const AwakeFigures = z.strictObject({
  day: z.strictObject({ from: Figure, to: Figure }).optional(),
  night: z.strictObject({ from: Figure, to: Figure }).optional(),
  basking: Figure.optional(),
  lightHours: Figure.optional(),
})
export type AwakeFigures = z.infer<typeof AwakeFigures>

export const SpeciesProfile = z.strictObject({
  id: SpeciesId,
  latin: z.string().min(1).max(120),
  common: z.string().min(1).max(120),
  taxon: Taxon,
  /** Whether this species goes down at all: `never` refuses a hold. */
  winter: z.enum(['deep', 'cool', 'never']),
  /** A weak row rests on keeper habit and is marked so on every screen. */
  weak: z.boolean(),
  /** The band while awake, feeding up or fasting. */
  active: PhaseBand,
  /** The band in hold; absent for species that must never go down. */
  hold: PhaseBand.optional(),
  /** Absent for species that must never go down. */
  season: SeasonFigures.optional(),
  mass: MassFigures.optional(),
  /** The rules that are valid for this species. */
  condition: z.array(ConditionRule).max(6).default([]),
  awake: AwakeFigures.optional(),
  /** Of a profile that the keeper made from another: from which, and why. */
  own: z.strictObject({ from: SpeciesId, reason: z.string().trim().min(1).max(300) }).optional(),
  notes: z
    .array(z.strictObject({ text: z.string().max(400), source: z.string().max(700), evidence: Evidence }))
    .max(30)
    .default([]),
})
export type SpeciesProfile = z.infer<typeof SpeciesProfile>
