import { z } from 'zod'
import { LimitName, Priority } from './band.ts'
import { AlarmId, ContactId, PlaceId, SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Instant } from './units.ts'

/**
 * limit: a value is out of its band · silent: nothing heard · faulty: only nonsense heard · stuck: the value has
 * stopped moving · disagreeing: two thermometers in one spot differ · batteryLow: a sensor will soon fall silent ·
 * unwatched: animals without any working sensor · undeliverable: no channel of a contact works · animalLimit: what
 * follows the air, by the place's time constant, is past a critical limit (L11) · limitAhead: a critical limit will be
 * met · notCooling, alwaysCooling, drifting, doorAjar: what the curve of a fridge says of it (L12) · the others: a stage
 * of the daemon itself has failed (`Stage`).
 */
export const AlarmKind = z.enum([
  'limit',
  'silent',
  'faulty',
  'stuck',
  'disagreeing',
  'batteryLow',
  'unwatched',
  'undeliverable',
  'animalLimit',
  'limitAhead',
  'notCooling',
  'alwaysCooling',
  'drifting',
  'doorAjar',
  'brokerLost',
  'sessionLost',
  'storeFailing',
  'diskNearlyFull',
  'clockImplausible',
  'backupFailing',
  'stalled',
  'databaseSetAside',
])
export type AlarmKind = z.infer<typeof AlarmKind>

/** States of IEC 62682 / ISA-18.2. `out` says whether the condition still holds underneath. */
export const AlarmState = z.discriminatedUnion('name', [
  z.strictObject({ name: z.literal('normal') }),
  z.strictObject({ name: z.literal('unacknowledged'), since: Instant }),
  z.strictObject({
    name: z.literal('acknowledged'),
    since: Instant,
    by: z.string(),
    acknowledgedAt: Instant,
  }),
  z.strictObject({ name: z.literal('returnedUnacknowledged'), since: Instant, returnedAt: Instant }),
  z.strictObject({
    name: z.literal('shelved'),
    until: Instant,
    by: z.string(),
    reason: z.string(),
    out: z.boolean(),
    since: Instant.nullable(),
  }),
  z.strictObject({
    name: z.literal('suppressed'),
    until: Instant,
    by: z.string(),
    out: z.boolean(),
    since: Instant.nullable(),
  }),
  z.strictObject({
    name: z.literal('outOfService'),
    by: z.string(),
    reason: z.string(),
    at: Instant,
    out: z.boolean(),
    since: Instant.nullable(),
  }),
])
export type AlarmState = z.infer<typeof AlarmState>

/** One standing condition that needs a response in time when it becomes true. */
export const Alarm = z.strictObject({
  id: AlarmId,
  kind: AlarmKind,
  place: PlaceId.nullable(),
  sensor: SensorId.nullable(),
  /** Whom it is about, for one that says that somebody cannot be reached. */
  contact: ContactId.nullable(),
  quantity: Quantity.nullable(),
  limit: LimitName.nullable(),
  priority: Priority,
  /** Counts raisings, from 1; an answer to an earlier one does not touch a later one. */
  occurrence: z.int().min(0),
  /** The value that raised it and the limit's value then, in the quantity's unit. */
  value: z.number().nullable(),
  threshold: z.number().nullable(),
  /** Where only the doubt rang: the animals' limit moved inwards by the sensor's uncertainty (L9); absent elsewhere. */
  guarded: z.number().optional(),
  /** How far that sensor may be off, ± (k = 2); absent in older alarms. */
  expanded: z.number().min(0).optional(),
  /** What the failing stage, or the curve, said of itself, as one sentence. */
  text: z.string().max(500).optional(),
  state: AlarmState,
})
export type Alarm = z.infer<typeof Alarm>
