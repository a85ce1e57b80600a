import { z } from 'zod'
import { PlaceId, SensorId } from './ids.ts'
import { TimeZone } from './place.ts'
import { Quantity } from './quantity.ts'
import { SensorType } from './sensor.ts'
import { hours, instant, millis, minutes, seconds } from './amounts.ts'
import { DurationText } from './duration-text.ts'
import type { Millis } from './units.ts'

const positive = (most: number) => z.number().positive().max(most)
const Duration = (least: Millis, most: Millis) =>
  DurationText.refine((ms) => ms >= least, `at least ${least / 1000} s`).refine(
    (ms) => ms <= most,
    `at most ${most / 3_600_000} h`,
  )

/** Longest scenario: a leap year and a week to spare (X3). */
const LONGEST = hours(24 * 373)

const inside = {
  id: PlaceId,
  parent: PlaceId,
  /** Temperature at the start in °C; its set point when absent. */
  startsAt: z.number().min(-40).max(60).optional(),
}

/** Relative humidity (%RH) to which the place's own moisture tends, and how fast. */
const moisture = {
  humidity: z.number().min(0).max(100).optional(),
  /** Time constant of the moist substrate. */
  moistens: Duration(minutes(1), hours(240)).default(hours(1)),
  /** Time constant of the exchange of air with the parent. */
  airs: Duration(minutes(1), hours(240)).default(hours(4)),
}

/** A room, or the air outside: driven from outside the scenario by a daily swing and weather. */
const RoomModel = z.strictObject({
  id: PlaceId,
  kind: z.literal('room'),
  /** °C over the days. */
  mean: z.number().min(-40).max(50),
  /** Half of the daily swing, K. */
  swing: z.number().min(0).max(30).default(0),
  /** Hour of the zone's standard clock at the scenario's start at which it is warmest. */
  warmestAt: z.number().min(0).max(24).default(15),
  weather: z
    .strictObject({ sd: z.number().min(0).max(15), memory: Duration(minutes(10), hours(240)) })
    .default({ sd: 0, memory: hours(12) }),
  humidity: z.number().min(0).max(100).default(60),
})

/**
 * A compressor fridge: air and shelves, and behind them liner and plate. The defaults give 30 to 50 % duty and cycles of
 * 20 to 60 min in a room at 20 °C, as domestic fridges have (value from memory).
 */
const FridgeModel = z.strictObject({
  ...inside,
  ...moisture,
  kind: z.literal('fridge'),
  /** J/K of air and shelves, and of liner and plate. */
  airCapacity: positive(1e6).default(2000),
  linerCapacity: positive(1e6).default(5000),
  /** W/K from liner to air, through the walls, and through an open door. */
  plate: positive(1000).default(6),
  walls: positive(100).default(1),
  openDoor: positive(1000).default(12),
  /** W that the running compressor takes out of the liner. */
  cooling: positive(2000).default(42),
  /** Thermostat on the air: starts at setPoint + hysteresis/2, stops at setPoint − hysteresis/2. */
  setPoint: z.number().min(-25).max(20).default(5),
  hysteresis: z.number().min(0.1).max(10).default(2),
})

/** Soil and animals in an insulated box: one lump whose time constant is capacity / conductance. */
const BoxModel = z.strictObject({
  ...inside,
  ...moisture,
  kind: z.literal('box'),
  /** J/K; 10 kg of water have 41 860. */
  capacity: positive(1e8).default(41_860),
  /** W/K to the parent's air. */
  conductance: positive(1000).default(2),
})

/** A cold room, frame, enclosure or culture: one lump in its parent, with a heater where there is one. */
const HeatedModel = z.strictObject({
  ...inside,
  ...moisture,
  kind: z.enum(['coldRoom', 'frame', 'enclosure', 'culture']),
  capacity: positive(1e8),
  conductance: positive(1000),
  openDoor: positive(1000).default(5),
  heater: z
    .strictObject({
      watts: positive(10_000),
      setPoint: z.number().min(-10).max(45),
      /** From 20:00 to 08:00 of the zone's standard clock at the scenario's start. */
      nightSetPoint: z.number().min(-10).max(45).optional(),
      hysteresis: z.number().min(0.1).max(10).default(1),
    })
    .optional(),
})

export const PlaceModel = z.discriminatedUnion('kind', [RoomModel, FridgeModel, BoxModel, HeatedModel])
export type PlaceModel = z.infer<typeof PlaceModel>

export const SensorModel = z.strictObject({
  id: SensorId,
  place: PlaceId,
  type: SensorType.default('other'),
  measures: z
    .array(Quantity)
    .min(1)
    .max(6)
    .refine((all) => new Set(all).size === all.length, 'each quantity once')
    .default(['temperature']),
  /** Time between readings. */
  every: Duration(seconds(1), hours(24)).default(seconds(60)),
  /** Each reading comes early or late by up to this much. */
  jitter: DurationText.default(millis(0)),
  /** Standard deviation of one reading: K, and %RH. */
  noise: z.number().min(0).max(10).default(0.04),
  humidityNoise: z.number().min(0).max(20).default(0.5),
  /** Constant error: K, and %RH. */
  offset: z.number().min(-20).max(20).default(0),
  humidityOffset: z.number().min(-50).max(50).default(0),
  /** Smallest step of a temperature, K; the type's own when absent: 1/16 ds18b20, 0.1 dht22, else 0.01. */
  resolution: positive(5).optional(),
  /** Fed by the mains: silent while the power is cut. */
  mains: z.boolean().default(false),
  /** % at the start, and lost each day. */
  battery: z
    .strictObject({ start: z.number().min(0).max(100), perDay: z.number().min(0).max(100) })
    .default({ start: 100, perDay: 0.1 }),
})
export type SensorModel = z.infer<typeof SensorModel>

const event = { after: DurationText, lasts: Duration(seconds(1), LONGEST) }
const ofPlace = { ...event, place: PlaceId }
const ofSensor = { ...event, sensor: SensorId }

/** Something that happens, `after` the scenario's start. What is wrong with a sensor is named for its signature. */
export const ScenarioEvent = z.discriminatedUnion('kind', [
  /** No compressor, no heater, no sensor on the mains. */
  z.strictObject({ ...event, kind: z.literal('powerCut') }),
  z.strictObject({ ...ofPlace, kind: z.literal('doorOpen') }),
  /** A thermostat, of a fridge or a heater, that no longer switches. */
  z.strictObject({ ...ofPlace, kind: z.literal('thermostatStuck'), running: z.boolean() }),
  /** A room that grows colder by up to this many kelvin (negative: warmer) and comes back. */
  z.strictObject({ ...ofPlace, kind: z.literal('coldSpell'), by: z.number().min(-40).max(40) }),
  z.strictObject({ ...ofSensor, kind: z.literal('silent') }),
  z.strictObject({ ...ofSensor, kind: z.literal('stuck') }),
  /** One reading, the first that is due, off by this many kelvin. */
  z.strictObject({ ...ofSensor, kind: z.literal('spike'), by: z.number().min(-150).max(150) }),
  z.strictObject({ ...ofSensor, kind: z.literal('drift'), perDay: z.number().min(-100).max(100) }),
  /** 85.0 °C: read before the first conversion. */
  z.strictObject({ ...ofSensor, kind: z.literal('powerOn') }),
  /** −127 °C: a broken wire. */
  z.strictObject({ ...ofSensor, kind: z.literal('busOpen') }),
  z.strictObject({ ...ofSensor, kind: z.literal('batteryLow'), to: z.number().min(0).max(100).default(5) }),
  /** Every reading arrives twice. */
  z.strictObject({ ...ofSensor, kind: z.literal('duplicates') }),
  /** Readings are kept back and arrive together when it ends. */
  z.strictObject({ ...ofSensor, kind: z.literal('late') }),
  /** The sensor's own clock runs ahead by this much. */
  z.strictObject({ ...ofSensor, kind: z.literal('clockAhead'), by: DurationText }),
])
export type ScenarioEvent = z.infer<typeof ScenarioEvent>
export type SensorFault = Extract<ScenarioEvent, { sensor: SensorId }>

/**
 * A made-up stretch of winter for `brumal simulate`. Bounded (X3): 60 places and 200 sensors keep a step within a
 * millisecond, 2000 events are five a day for a year.
 */
export const Scenario = z.strictObject({
  name: z.string().min(1).max(80),
  /** ISO 8601 with `Z` or an offset. */
  start: z.iso.datetime({ offset: true, error: notInstant }).transform((text) => instant(Date.parse(text))),
  lasts: Duration(minutes(1), LONGEST),
  /** Physics and truth move in steps of this length. */
  step: Duration(seconds(1), hours(1)).default(seconds(10)),
  /** Used when none is given. */
  seed: z.int().min(0).max(4_294_967_295).default(1),
  timeZone: TimeZone,
  places: z.array(PlaceModel).min(1).max(60),
  sensors: z.array(SensorModel).min(1).max(200),
  events: z.array(ScenarioEvent).max(2000).default([]),
})
export type Scenario = z.infer<typeof Scenario>

function notInstant({ input }: { readonly input?: unknown }): string | undefined {
  return input === undefined ? undefined : 'expected an instant such as 2026-01-10T18:00:00Z'
}

/** One line of a truth file: what went wrong, or what was really so at the end of a step. */
export const TruthLine = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('fault'),
    fault: z.string(),
    sensor: SensorId.optional(),
    place: PlaceId.optional(),
    /** `to` is left out of the fault. */
    from: z.iso.datetime(),
    to: z.iso.datetime(),
    /** How much: kelvin, kelvin per day, milliseconds or %, as the scenario's event has it. */
    amount: z.number().optional(),
  }),
  z.strictObject({
    kind: z.literal('state'),
    at: z.iso.datetime(),
    power: z.boolean(),
    open: z.array(PlaceId),
    /** Places whose compressor or heater runs. */
    running: z.array(PlaceId),
    celsius: z.record(PlaceId, z.number()),
    humidity: z.record(PlaceId, z.number()),
  }),
])
export type TruthLine = z.infer<typeof TruthLine>
