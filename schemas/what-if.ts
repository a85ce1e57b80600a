import { z } from 'zod'
import { AlarmKind } from './alarm.ts'
import { Bands, LimitName, Priority } from './band.ts'
import { AlarmId, PlaceId, SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Instant, Millis } from './units.ts'

/** A limit to try. What is left out is as it is today, and follows the plan. */
export const TriedLimit = z.strictObject({
  quantity: Quantity,
  limit: LimitName,
  /** `null`: no such limit. */
  value: z.number().nullable().optional(),
  for: Millis.optional(),
  clearFor: Millis.optional(),
  deadband: z.number().min(0).optional(),
  priority: Priority.optional(),
})
export type TriedLimit = z.infer<typeof TriedLimit>

/** What to try in one place. */
export const TriedPlace = z.strictObject({
  place: PlaceId,
  limits: z.array(TriedLimit).max(24).default([]),
  /** Whether the sensor's uncertainty is allowed for near freezing (L9). */
  guard: z.enum(['on', 'off']).optional(),
  /** Silence after which a value of its sensors no longer holds. */
  silentAfter: Millis.min(1).optional(),
})
export type TriedPlace = z.infer<typeof TriedPlace>

/** A season by its name, or a stretch of time; places that are not named are judged as they are today. */
export const WhatIfAsk = z.strictObject({
  /** It and what stands in it; null: the whole house. */
  place: PlaceId.nullable(),
  over: z.union([
    z.strictObject({ season: z.string().max(7) }),
    z.strictObject({ from: Instant, to: Instant }),
  ]),
  /** As many as a large fridge has boxes. */
  tried: z.array(TriedPlace).max(100).default([]),
})
export type WhatIfAsk = z.infer<typeof WhatIfAsk>

export const WhatIfId = z
  .string()
  .max(40)
  .regex(/^[a-z0-9]+-[0-9]+$/)
  .brand<'WhatIfId'>()
export type WhatIfId = z.infer<typeof WhatIfId>

/** One alarm from its raising until it returned or was hidden; `until` null: it stood to the end. */
export const Spell = z.strictObject({
  alarm: AlarmId,
  kind: AlarmKind,
  place: PlaceId,
  sensor: SensorId.nullable(),
  quantity: Quantity.nullable(),
  limit: LimitName.nullable(),
  priority: Priority,
  from: Instant,
  until: Instant.nullable(),
  value: z.number().nullable(),
  threshold: z.number().nullable(),
  /** Only the sensor's uncertainty raised it (L9). */
  isDoubt: z.boolean(),
})
export type Spell = z.infer<typeof Spell>

const ByPriority = z.strictObject({ low: z.int(), medium: z.int(), high: z.int() })

/** What came of one set of limits. */
export const WhatIfSide = z.strictObject({
  alarms: z.int(),
  byPriority: ByPriority,
  /** Time in which any alarm stood. */
  standing: Millis,
  /** Nights in which an alarm was raised that rings at night: of medium or high priority (A4). */
  nightsRung: z.int(),
})
export type WhatIfSide = z.infer<typeof WhatIfSide>

const NightSide = z.strictObject({
  /** Alarms raised in the night, and the gravest of them. */
  alarms: z.int(),
  gravest: Priority.nullable(),
  rings: z.boolean(),
  standing: Millis,
})
export type NightSide = z.infer<typeof NightSide>

export const WhatIfNight = z.strictObject({
  date: z.iso.date(),
  from: Instant,
  to: Instant,
  happened: NightSide,
  would: NightSide,
  /** Time with a value past a limit that is tried, whatever the delays. */
  outside: Millis,
})
export type WhatIfNight = z.infer<typeof WhatIfNight>

/** The same danger as it was told and as it would have been; null where only one of them tells it. */
export const SpellPair = z.strictObject({ happened: Spell.nullable(), would: Spell.nullable() })
export type SpellPair = z.infer<typeof SpellPair>

/** What the stored log cannot say, as counts. */
export const WhatIfCaveats = z.strictObject({
  /** Hours of which only the summary is kept: nothing is judged in them. */
  thinnedHours: z.int(),
  /** Alarms that people shelved or took out of service then; here they are not hidden. */
  hidden: z.int(),
  /** Times that somebody said "I am opening this": played as they were. */
  tendings: z.int(),
  /** Times that Brumal started: what was before is a gap. */
  starts: z.int(),
  /** Changes to the household in that time: judged is the one of today. */
  changes: z.int(),
  /** Animals that go down, of whose plan then nothing is known. */
  withoutPlan: z.array(z.string()).max(50),
  /** More alarms would have rung than are kept: the counts end there. */
  isCut: z.boolean(),
})
export type WhatIfCaveats = z.infer<typeof WhatIfCaveats>

/** Pairs in one answer (X3): more than anybody reads, and a winter of well-chosen limits has a dozen. */
export const mostPairs = 400

export const WhatIfResult = z.strictObject({
  place: PlaceId.nullable(),
  from: Instant,
  to: Instant,
  timeZone: z.string(),
  readings: z.int(),
  happened: WhatIfSide,
  would: WhatIfSide,
  /** Time with a value past a limit that is tried, whatever the delays. */
  outside: Millis,
  /** Pairs told by both, those told earlier and later, and those told by one alone. */
  counts: z.strictObject({
    both: z.int(),
    earlier: z.int(),
    later: z.int(),
    onlyHappened: z.int(),
    onlyWould: z.int(),
  }),
  /** Of 400 days, those at both ends with them. */
  nights: z.array(WhatIfNight).max(402),
  /** In order of time; those that differ come before those that do not, where there are too many. */
  pairs: z.array(SpellPair).max(mostPairs),
  leftOut: z.int(),
  caveats: WhatIfCaveats,
})
export type WhatIfResult = z.infer<typeof WhatIfResult>

/** How far a look back has come. */
export const WhatIfNow = z.discriminatedUnion('state', [
  z.strictObject({
    state: z.literal('running'),
    id: WhatIfId,
    ask: WhatIfAsk,
    /** 0 to 1. */
    done: z.number(),
    readings: z.int(),
  }),
  z.strictObject({ state: z.literal('done'), id: WhatIfId, ask: WhatIfAsk, result: WhatIfResult }),
  z.strictObject({ state: z.literal('cancelled'), id: WhatIfId, ask: WhatIfAsk }),
  z.strictObject({ state: z.literal('failed'), id: WhatIfId, ask: WhatIfAsk, sentence: z.string() }),
])
export type WhatIfNow = z.infer<typeof WhatIfNow>

/** What a form begins with: the limits of a place, and when it was cold there. */
export const WhatIfBasis = z.strictObject({
  place: PlaceId,
  name: z.string(),
  timeZone: z.string(),
  season: z.string(),
  /** Seasons with readings, the newest first. */
  seasons: z.array(z.string()),
  /** From the cooling to the waking of its animals, else all that is stored of that season; null: nothing is. */
  stretch: z.strictObject({ from: Instant, to: Instant, isCold: z.boolean() }).nullable(),
  /** As of now, and as they are in a phase of its animals. */
  bands: z.array(z.strictObject({ of: z.enum(['hold', 'awake', 'now']), bands: Bands })),
  quantities: z.array(Quantity),
  isGuarded: z.boolean(),
  /** Silence after which a value of its first sensor no longer holds. */
  silentAfter: Millis.nullable(),
  /** One that goes on now, by whomever. */
  running: WhatIfId.nullable(),
})
export type WhatIfBasis = z.infer<typeof WhatIfBasis>
