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
  source: z.string().min(1),
  evidence: Evidence,
})
export type SourcedLimit = z.infer<typeof SourcedLimit>

/** Limits of one phase. Temperature in °C, humidity in %RH. */
export const PhaseBand = z.strictObject({
  temperature: z.array(SourcedLimit).max(4),
  humidity: z.array(SourcedLimit).max(4).default([]),
})
export type PhaseBand = z.infer<typeof PhaseBand>

export const SpeciesProfile = z.strictObject({
  id: SpeciesId,
  latin: z.string(),
  common: z.string(),
  /** Whether this species goes down at all: `never` refuses a hold. */
  winter: z.enum(['deep', 'cool', 'never']),
  /** A weak row rests on keeper habit and is marked so on every screen. */
  weak: z.boolean(),
  /** The band while awake, feeding up or fasting. */
  active: PhaseBand,
  /** The band in hold; absent for species that must never go down. */
  hold: PhaseBand.optional(),
  notes: z.array(z.strictObject({ text: z.string(), source: z.string(), evidence: Evidence })).default([]),
})
export type SpeciesProfile = z.infer<typeof SpeciesProfile>
