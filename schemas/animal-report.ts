import { z } from 'zod'
import { Animal, PlanStep } from './animal.ts'
import { Priority } from './band.ts'
import { ConditionNow, MassNow } from './condition.ts'
import { Between, PlaceCost } from './cost.ts'
import { AnimalId, PlaceId } from './ids.ts'
import { Instant, Millis } from './units.ts'

const At = z.strictObject({ at: Instant, value: z.number() })

/** One local day of its box, °C; null where nothing was heard. `low` and `high`: the band at its middle. */
export const ReportDay = z.strictObject({
  date: z.iso.date(),
  min: z.number().nullable(),
  mean: z.number().nullable(),
  max: z.number().nullable(),
  low: z.number().nullable(),
  high: z.number().nullable(),
})
export type ReportDay = z.infer<typeof ReportDay>

/** An alarm of its box: when, what, for how long, who answered. */
export const ReportAlarm = z.strictObject({
  at: Instant,
  priority: Priority.nullable(),
  sentence: z.string(),
  until: Instant.nullable(),
  answeredBy: z.string().nullable(),
  answeredAt: Instant.nullable(),
})
export type ReportAlarm = z.infer<typeof ReportAlarm>

/** One winter of an animal in figures: what seasons are compared by. */
export const WinterFigures = z.strictObject({
  season: z.string(),
  /** From the beginning of cooling to the beginning of warming, or to now. */
  from: Instant,
  to: Instant,
  isOver: z.boolean(),
  coldDays: z.int(),
  lostPercent: z.number().nullable(),
  coldest: At.nullable(),
  warmest: At.nullable(),
  /** Beyond any limit of the band; null where nothing was heard. */
  outOfBand: Millis.nullable(),
  unknown: Millis,
  meanKinetic: Between.nullable(),
  alarms: z.int(),
})
export type WinterFigures = z.infer<typeof WinterFigures>

/** The winter of one animal on one page, for a keeper's folder or a vet. */
export const AnimalReport = z.strictObject({
  at: Instant,
  household: z.string(),
  timeZone: z.string(),
  animal: Animal.pick({
    id: true,
    name: true,
    species: true,
    sex: true,
    hatched: true,
    since: true,
    mark: true,
  }),
  latin: z.string(),
  common: z.string(),
  /** Where it lives now: the curve is this place's. */
  place: z.strictObject({ id: PlaceId, name: z.string() }).nullable(),
  season: z.string(),
  /** Seasons of which anything is known, newest first. */
  seasons: z.array(z.string()),
  /** Null: it stayed awake, or nothing is known of that season. */
  winter: z
    .strictObject({
      figures: WinterFigures,
      steps: z.array(PlanStep),
      /** Why it went down though something was missing. */
      anyway: z.string().nullable(),
      wokenWhy: z.string().nullable(),
      condition: ConditionNow.nullable(),
      mass: MassNow.nullable(),
      cost: PlaceCost.nullable(),
    })
    .nullable(),
  /** What is drawn: the winter, or the season so far for an animal that stays awake. */
  days: z.array(ReportDay),
  weighIns: z.array(z.strictObject({ at: Instant, grams: z.number() })),
  alarms: z.array(ReportAlarm),
  /** Alarms beyond those listed. */
  alarmsLeftOut: z.int(),
  /** Diary entries other than weigh-ins, in order of time, each in one sentence. */
  notes: z.array(z.strictObject({ at: Instant, by: z.string(), sentence: z.string() })),
  notesLeftOut: z.int(),
  /** This animal's other winters, newest first. */
  earlier: z.array(WinterFigures),
  cautions: z.string(),
})
export type AnimalReport = z.infer<typeof AnimalReport>

/** Every animal's winter of one season beside the others. */
export const SeasonReport = z.strictObject({
  at: Instant,
  household: z.string(),
  timeZone: z.string(),
  season: z.string(),
  seasons: z.array(z.string()),
  rows: z.array(
    z.strictObject({
      animal: AnimalId,
      name: z.string(),
      common: z.string(),
      latin: z.string(),
      winter: WinterFigures.nullable(),
    }),
  ),
  cautions: z.string(),
})
export type SeasonReport = z.infer<typeof SeasonReport>
