import { z } from 'zod'
import { LimitName } from './band.ts'
import { PlaceId, SensorId, SpeciesId } from './ids.ts'
import { Sensor } from './sensor.ts'
import { Trial } from './trial.ts'
import { Instant, Millis } from './units.ts'

/** What may be done with a place's trial run. */
export const TrialAct = z.discriminatedUnion('act', [
  z.strictObject({ act: z.literal('begin'), litres: z.number().min(0).max(1000).default(0) }),
  z.strictObject({ act: z.literal('end') }),
  /** The keeper pulls the plug on purpose, and puts it back. */
  z.strictObject({ act: z.literal('plugOut') }),
  z.strictObject({ act: z.literal('plugIn') }),
  /** The run and its report are thrown away; the readings stay. */
  z.strictObject({ act: z.literal('forget') }),
])
export type TrialAct = z.infer<typeof TrialAct>

/** The run as it is after an act; null after `forget`. */
export const TrialKept = z.strictObject({ trial: Trial.nullable() })
export type TrialKept = z.infer<typeof TrialKept>

const At = z.strictObject({ at: Instant, value: z.number() })
const Count = z.number().int().min(0)
const Share = z.number().min(0).max(1)

/** Compressor runs. Period in ms; duty is the share of it in which the air falls; amplitude from trough to crest, K. */
export const TrialCycle = z.strictObject({ period: Millis, duty: Share, amplitude: z.number() })
export type TrialCycle = z.infer<typeof TrialCycle>

export const TrialDoors = z.strictObject({
  count: Count,
  /** The time until the air was nearly back, of those that came back. */
  usualRecovery: Millis.nullable(),
  longestRecovery: Millis.nullable(),
  /** The highest jump, K. */
  highestRise: z.number().nullable(),
})
export type TrialDoors = z.infer<typeof TrialDoors>

/**
 * One sensor over the counted time, each value weighed by how long it held; °C. Extremes leave out doors after which the
 * air came back.
 */
export const TrialFigures = z.strictObject({
  mean: z.number(),
  /** K. */
  sd: z.number(),
  min: At,
  max: At,
  p5: z.number(),
  p95: z.number(),
  day: z.number().nullable(),
  night: z.number().nullable(),
})
export type TrialFigures = z.infer<typeof TrialFigures>

export const TrialSensor = z.strictObject({
  sensor: SensorId,
  name: z.string(),
  place: PlaceId,
  placeName: z.string(),
  spot: Sensor.shape.spot,
  /** Whether the verdict looks at it: water and a basking spot are not where an animal lies in hold. */
  isJudged: z.boolean(),
  readings: Count,
  /** Of the counted time, that with a believable value. */
  known: Millis,
  figures: TrialFigures.nullable(),
  /** How far it may be off, ±, K (expanded, k = 2). */
  expanded: z.number(),
  /** Whether a calibration of its is in force. */
  isChecked: z.boolean(),
  /** Its curve is read for runs and doors; null cycle: too few runs seen to say. */
  isAir: z.boolean(),
  cyclesSeen: Count,
  cycle: TrialCycle.nullable(),
  doors: TrialDoors,
})
export type TrialSensor = z.infer<typeof TrialSensor>

/** Two sensors in one spot of one place. */
export const TrialAgreement = z.strictObject({
  place: PlaceId,
  one: SensorId,
  other: SensorId,
  /** Of the second over the first, and what both may be off together, K. */
  difference: z.number(),
  allowed: z.number(),
  agree: z.boolean(),
})
export type TrialAgreement = z.infer<typeof TrialAgreement>

/** The longest time with its plug out. */
export const TrialHoldOver = z.strictObject({
  sensor: SensorId,
  at: Instant,
  lasted: Millis,
  from: z.number(),
  to: z.number(),
  /** The room's mean meanwhile, or where the curve itself would settle; °C. */
  room: z.number().nullable(),
  isRoomMeasured: z.boolean(),
  /** Time constant, and its standard uncertainty as a share; null: not known from so short a time. */
  tau: Millis.nullable(),
  share: z.number().nullable(),
})
export type TrialHoldOver = z.infer<typeof TrialHoldOver>

export const TrialHeld = z.strictObject({
  limit: LimitName,
  value: z.number(),
  /** When it was met in the run; null: it was not. */
  seen: Millis.nullable(),
  /** When it would be, from the usual mean, and between which two times; null: never in that room, or not known. */
  after: Millis.nullable(),
  least: Millis.nullable(),
  most: Millis.nullable(),
  isNever: z.boolean(),
})
export type TrialHeld = z.infer<typeof TrialHeld>

export const TrialVerdict = z.enum(['fit', 'fitWithRemarks', 'notFit', 'notKnownYet'])
export type TrialVerdict = z.infer<typeof TrialVerdict>

/** Whether one species may be held cold here, with the reasons as sentences. */
export const TrialSpecies = z.strictObject({
  species: SpeciesId,
  common: z.string(),
  latin: z.string(),
  isWeak: z.boolean(),
  verdict: TrialVerdict,
  reasons: z.array(z.string()),
  limits: z.array(z.strictObject({ limit: LimitName, value: z.number() })),
  /** Of the known time of the spot that was out longest, beyond `low` or `high`. */
  outShare: Share.nullable(),
  /** From the coldest value up from lowCritical, and from the warmest down from highCritical; K. */
  marginLow: z.number().nullable(),
  marginHigh: z.number().nullable(),
  held: z.array(TrialHeld),
})
export type TrialSpecies = z.infer<typeof TrialSpecies>

export const TrialAdviceAbout = z.enum([
  'time',
  'thermostat',
  'spread',
  'water',
  'cooling',
  'room',
  'door',
  'sensors',
  'probe',
  'plug',
])
export type TrialAdviceAbout = z.infer<typeof TrialAdviceAbout>

export const TrialReport = z.strictObject({
  from: Instant,
  to: Instant,
  isRunning: z.boolean(),
  plugOutSince: Instant.nullable(),
  litres: z.number(),
  by: z.string(),
  lasted: Millis,
  /** Without settling at the start, the plug out and what follows it. */
  counted: Millis,
  isLongEnough: z.boolean(),
  /** Whether critical limits near freezing are moved by what the sensor may be off (L9). */
  isGuarded: z.boolean(),
  sensors: z.array(TrialSensor),
  /** Between the means of the coldest and the warmest spot, K. */
  gradient: z
    .strictObject({
      coldest: SensorId,
      warmest: SensorId,
      difference: z.number(),
      allowed: z.number(),
    })
    .nullable(),
  agreement: z.array(TrialAgreement),
  room: z
    .strictObject({ sensor: SensorId, name: z.string(), mean: z.number(), min: z.number(), max: z.number() })
    .nullable(),
  holdOver: TrialHoldOver.nullable(),
  species: z.array(TrialSpecies),
  advice: z.array(z.strictObject({ about: TrialAdviceAbout, says: z.string() })),
})
export type TrialReport = z.infer<typeof TrialReport>

/** What the page shows; without a run both are null. */
export const TrialNow = z.strictObject({
  place: PlaceId,
  name: z.string(),
  trial: Trial.nullable(),
  report: TrialReport.nullable(),
})
export type TrialNow = z.infer<typeof TrialNow>
