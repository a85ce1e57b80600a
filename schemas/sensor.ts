import { z } from 'zod'
import { areDistinct, Calibration } from './calibration.ts'
import { PlaceId, SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { SensorCheck } from './sensor-check.ts'
import { seconds } from './amounts.ts'
import { Millis } from './units.ts'

/** The measuring element: it decides range, resolution and the fault values that this element is known for. */
export const SensorType = z.enum(['ds18b20', 'dht22', 'sht3x', 'bme280', 'ntc', 'pt1000', 'contact', 'other'])
export type SensorType = z.infer<typeof SensorType>

/** RFC 6901 JSON Pointer: empty, or reference tokens each behind a slash, `~` only as `~0` or `~1`. */
export const JsonPointer = z
  .string()
  .max(200)
  .regex(/^(?:\/(?:[^~/]|~0|~1)*)*$/, 'not a JSON Pointer (RFC 6901)')

export const WireUnit = z.enum([
  'celsius',
  'fahrenheit',
  'kelvin',
  'percent',
  'ratio',
  'volt',
  'millivolt',
  'boolean',
])
export type WireUnit = z.infer<typeof WireUnit>

/** How a topic's payloads become readings. `auto` recognises SenML, BTHome, common JSON keys and bare numbers. */
export const Decoder = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('auto') }),
  z.strictObject({ kind: z.literal('senmlJson') }),
  z.strictObject({ kind: z.literal('senmlCbor') }),
  z.strictObject({
    kind: z.literal('json'),
    fields: z
      .array(z.strictObject({ pointer: JsonPointer, quantity: Quantity, unit: WireUnit.optional() }))
      .min(1)
      .max(16),
    /** Pointer to the reading's own time: Unix seconds, Unix milliseconds or ISO 8601. */
    at: JsonPointer.optional(),
  }),
  z.strictObject({ kind: z.literal('number'), quantity: Quantity, unit: WireUnit.optional() }),
  z.strictObject({
    kind: z.literal('bthome'),
    /** 128-bit AES-CCM bind key as 32 hex digits, and the device's MAC as 12; both are needed for encrypted data. */
    key: z
      .string()
      .regex(/^[0-9a-fA-F]{32}$/)
      .optional(),
    mac: z
      .string()
      .regex(/^[0-9a-fA-F]{12}$/)
      .optional(),
  }),
])
export type Decoder = z.infer<typeof Decoder>

/** MQTT 3.1.1 §4.7 topic filter: `+` and `#` alone in their level, `#` last; at most 12 levels (X3). */
export const TopicFilter = z
  .string()
  .min(1)
  .max(200)
  .refine(
    isTopicFilter,
    'not a topic filter: + and # must stand alone in their level, # last, at most 12 levels',
  )

/** Two quantities checked twice a year, for twelve years. Derived. */
const mostCalibrations = 50

/** A device's one measuring channel: where its messages come from, how to read them and where it sits. */
export const Sensor = z.strictObject({
  id: SensorId,
  name: z.string().min(1).max(60),
  place: PlaceId.nullable(),
  /** What the element touches. `air` swings with the compressor; the others lag behind it. */
  spot: z.enum(['air', 'substrate', 'water', 'basking']).default('air'),
  type: SensorType.default('other'),
  topic: TopicFilter,
  /** Which channel of a payload that carries several; empty takes a payload's only or unnamed channel. */
  channel: z.string().max(120).default(''),
  decoder: Decoder.default({ kind: 'auto' }),
  /** How often a reading is expected. */
  expectedEvery: Millis.default(seconds(60)),
  /** Silence that raises an alarm; when absent `silentAfter()` in shared/sensing decides. */
  silentAfter: Millis.optional(),
  /** At this many volts its battery is nearly empty; without it only a battery in percent is judged. */
  lowVoltage: z.number().positive().max(60).optional(),
  /** Corrections of its readings, in any order; those of the past are kept, for each reading takes that of its own time. */
  calibrations: z
    .array(Calibration)
    .max(mostCalibrations)
    .refine(areDistinct, 'two calibrations of one quantity from the same instant')
    .default([]),
  /** How far a temperature may be from the truth, ±, K, as on its data sheet; when absent its type decides. */
  accuracy: z.number().positive().max(20).optional(),
  /** How far its spot may be from the animal's own, ±, K; when absent that is not counted. */
  placement: z.number().min(0).max(20).optional(),
  /** It is being checked, or was: until then it does not speak for its place. */
  check: SensorCheck.optional(),
})
export type Sensor = z.infer<typeof Sensor>

function isTopicFilter(filter: string): boolean {
  const levels = filter.split('/')
  if (levels.length > 12 || filter.includes('\u0000')) return false
  return levels.every((level, i) => {
    if (level === '#') return i === levels.length - 1
    return level === '+' || !/[+#]/.test(level)
  })
}
