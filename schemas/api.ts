import { z } from 'zod'
import { Alarm } from './alarm.ts'
import { Bands, LimitName, Priority } from './band.ts'
import { AlarmId, AnimalId, PlaceId, SensorId, SpeciesId } from './ids.ts'
import { JournalEntry } from './journal.ts'
import { Hemisphere, NightHours, PlaceKind, TimeZone } from './place.ts'
import { Quantity } from './quantity.ts'
import { Quality } from './reading.ts'
import { Guidance, Phase } from './species.ts'
import { Instant, Millis } from './units.ts'
import { WinterStrip } from './winter-strip.ts'

/** RFC 9457 problem details. */
export const Problem = z.strictObject({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string().optional(),
  /** A stable name for programs. */
  code: z.string(),
  errors: z.array(z.strictObject({ path: z.string(), message: z.string() })).optional(),
})
export type Problem = z.infer<typeof Problem>

/** The connection to the sensors, in one word and one sentence. */
export const BrokerState = z.strictObject({
  kind: z.enum(['embedded', 'external']),
  name: z.enum(['starting', 'up', 'down']),
  sentence: z.string(),
  since: Instant,
  retryAt: Instant.nullable(),
})
export type BrokerState = z.infer<typeof BrokerState>

/**
 * safe: judged and inside · leaving: past a limit whose delay still runs · out: an alarm stands · unsure: animals here
 * and no fresh value · idle: nothing to judge.
 */
export const Standing = z.enum(['safe', 'leaving', 'out', 'unsure', 'idle'])
export type Standing = z.infer<typeof Standing>

/** The newest value of one quantity from one sensor. `fresh` is false after two missed intervals (never shown as safe). */
export const ValueNow = z.strictObject({
  sensor: SensorId,
  sensorName: z.string(),
  quantity: Quantity,
  value: z.number(),
  at: Instant,
  quality: Quality,
  fresh: z.boolean(),
  /** A retained message without its own time: last known, age unknown (L6). */
  lastKnown: z.boolean(),
})
export type ValueNow = z.infer<typeof ValueNow>

export const AnimalNow = z.strictObject({
  id: AnimalId,
  name: z.string(),
  species: SpeciesId,
  common: z.string(),
  latin: z.string(),
  phase: Phase,
})
export type AnimalNow = z.infer<typeof AnimalNow>

/** What the curve of a place's air says of it, where it is known. Temperatures in °C, differences in K. */
export const ThermalNow = z.strictObject({
  /** Runs of the compressor: what is usual once it is learnt; before, only how many were seen. */
  cycle: z
    .strictObject({
      isLearnt: z.boolean(),
      seen: z.int(),
      period: Millis.nullable(),
      /** Share of the period in which the air falls, 0 to 1. */
      duty: z.number().nullable(),
      amplitude: z.number().nullable(),
      mean: z.number().nullable(),
    })
    .optional(),
  /** `recovering`: the air jumped and is not back, the door may be shut by now. */
  door: z
    .strictObject({
      standing: z.enum(['shut', 'open', 'recovering', 'ajar']),
      since: Instant.nullable(),
      lastOpenedAt: Instant.nullable(),
    })
    .optional(),
  /** What follows the air by the place's time constant (L11); not settled while it rests on a guess. */
  animal: z.strictObject({ celsius: z.number(), isSettled: z.boolean() }).optional(),
  /** The critical limit that the trend goes to, and when it meets it; `latest` null: perhaps never. */
  outlook: z
    .strictObject({
      limit: LimitName,
      celsius: z.number(),
      soonest: Instant,
      likely: Instant,
      latest: Instant.nullable(),
    })
    .optional(),
})
export type ThermalNow = z.infer<typeof ThermalNow>

/** One place as it stands now. */
export const PlaceNow = z.strictObject({
  id: PlaceId,
  name: z.string(),
  kind: PlaceKind,
  parent: PlaceId.nullable(),
  timeZone: z.string(),
  animals: z.array(AnimalNow),
  /** Place whose sensors judge this one: itself, the fridge around it (L10), or nobody. */
  judgedBy: PlaceId.nullable(),
  values: z.array(ValueNow),
  bands: Bands,
  standing: Standing,
  priority: Priority.nullable(),
  alarms: z.array(AlarmId),
  tendedUntil: Instant.nullable(),
  /** What the keeper should know about how it is judged: borrowed sensor, stuck or fast clock. */
  remarks: z.array(z.string()),
  /** What the curve of its air says, where it is a fridge, a cold room or a box with a thermometer. */
  thermal: ThermalNow.optional(),
})
export type PlaceNow = z.infer<typeof PlaceNow>

export const Night = z.strictObject({
  /** Evening date, `2026-12-24`. */
  date: z.iso.date(),
  from: Instant,
  to: Instant,
})
export type Night = z.infer<typeof Night>

export const Tonight = z.strictObject({
  at: Instant,
  standing: z.enum(['safe', 'leaving', 'out', 'unsure', 'empty']),
  /** The one-sentence answer to "is everyone safe tonight?" */
  sentence: z.string(),
  household: z.string(),
  practice: z.boolean(),
  night: Night,
  broker: BrokerState,
  places: z.array(PlaceNow),
  alarms: z.array(Alarm),
})
export type Tonight = z.infer<typeof Tonight>

/** Columns of one series. `low` = `mean` = `high` at full resolution; `null` marks a gap. `at` ascends and is unique. */
export const Columns = z.strictObject({
  at: z.array(z.number()),
  low: z.array(z.number().nullable()),
  mean: z.array(z.number().nullable()),
  high: z.array(z.number().nullable()),
})
export type Columns = z.infer<typeof Columns>

export const Series = z.strictObject({
  sensor: SensorId,
  quantity: Quantity,
  resolution: z.enum(['readings', 'columns']),
  columns: Columns,
  /** Readings that are not believed, newest 500 at most. */
  bad: z.array(z.strictObject({ at: Instant, value: z.number(), quality: Quality })),
})
export type Series = z.infer<typeof Series>

/** The band through a stretch of time, as columns: each row holds from its `at` until the next. */
export const BandColumns = z.strictObject({
  at: z.array(z.number()),
  lowCritical: z.array(z.number().nullable()),
  low: z.array(z.number().nullable()),
  high: z.array(z.number().nullable()),
  highCritical: z.array(z.number().nullable()),
})
export type BandColumns = z.infer<typeof BandColumns>

/** Everything that one night's curve is drawn from, in one answer. */
export const NightCurve = z.strictObject({
  place: PlaceId,
  quantity: Quantity,
  night: Night,
  band: BandColumns,
  series: z.array(Series.extend({ sensorName: z.string(), spot: z.string() })),
  /** The nights before, newest first, as means against milliseconds since their own evening. */
  before: z.array(
    z.strictObject({ date: z.iso.date(), since: z.array(z.number()), mean: z.array(z.number().nullable()) }),
  ),
})
export type NightCurve = z.infer<typeof NightCurve>

/** One night of one place in the Winter list. Times in ms; `unknown` is time without a believable value. */
export const NightSummary = z.strictObject({
  date: z.iso.date(),
  from: Instant,
  to: Instant,
  readings: z.int(),
  min: z.number().nullable(),
  mean: z.number().nullable(),
  max: z.number().nullable(),
  low: z.number().nullable(),
  high: z.number().nullable(),
  below: Millis,
  inside: Millis,
  above: Millis,
  unknown: Millis,
  alarms: z.int(),
})
export type NightSummary = z.infer<typeof NightSummary>

export const Winter = z.strictObject({
  place: PlaceId,
  quantity: Quantity,
  season: z.string(),
  seasons: z.array(z.string()),
  nights: z.array(NightSummary),
  strip: WinterStrip,
})
export type Winter = z.infer<typeof Winter>

export const JournalLine = JournalEntry.extend({ id: z.int() })
export type JournalLine = z.infer<typeof JournalLine>

export const AlarmsNow = z.strictObject({ standing: z.array(Alarm), journal: z.array(JournalLine) })
export type AlarmsNow = z.infer<typeof AlarmsNow>

/** What the live stream carries. Every event is small; `tonight` tells a browser to fetch the page's data anew. */
export const LiveEvent = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('value'), place: PlaceId.nullable(), value: ValueNow }),
  z.strictObject({ kind: z.literal('alarm'), alarm: Alarm, at: Instant }),
  z.strictObject({ kind: z.literal('journal'), line: JournalLine }),
  z.strictObject({ kind: z.literal('broker'), broker: BrokerState }),
  z.strictObject({ kind: z.literal('source'), topic: z.string() }),
  /** Something was noted, changed or taken back in the diary. */
  z.strictObject({ kind: z.literal('diary'), animal: AnimalId.optional(), place: PlaceId.optional() }),
  z.strictObject({ kind: z.literal('tonight') }),
])
export type LiveEvent = z.infer<typeof LiveEvent>

/** How a sensor reaches us: shown in Set-up and on the empty first screen, with a line that works. */
export const Connection = z.strictObject({
  broker: BrokerState,
  host: z.string(),
  port: z.int(),
  user: z.string().nullable(),
  password: z.string().nullable(),
  topic: z.string(),
  /** A `mosquitto_pub` line that publishes one SenML reading. */
  tryLine: z.string(),
})
export type Connection = z.infer<typeof Connection>

/** The household's own settings, without its lists. */
export const House = z.strictObject({
  name: z.string().min(1).max(60),
  timeZone: TimeZone,
  night: NightHours,
  hemisphere: Hemisphere,
  guidance: Guidance,
})
export type House = z.infer<typeof House>
