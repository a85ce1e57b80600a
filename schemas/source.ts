import { z } from 'zod'
import { SensorId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Instant } from './units.ts'

/** Why a payload was not taken. Every undecodable payload gets exactly one of these. */
export const Refusal = z.enum([
  'badTopic', // deeper or longer than allowed, or with control characters
  'empty',
  'tooLarge',
  'notUtf8',
  'notJson',
  'tooDeep',
  'notCbor',
  'notSenml',
  'unknownMandatoryLabel', // RFC 8428 §4.4: a label ending in _ that we do not know
  'badName',
  'noValue', // a record without exactly one value
  'noNumber',
  'badUnit',
  'badTime',
  'tooMany', // more records or fields than one message may carry
  'pointerMissing', // the JSON Pointer leads nowhere
  'notBthome',
  'truncated',
  'keyMissing', // encrypted, and no key was given
  'wrongKey', // the message authentication code does not fit
  'outOfBounds', // a number no sensor can mean
  'channelMissing', // decoded, but not the channel that this sensor was claimed with
  'nothingRecognised',
])
export type Refusal = z.infer<typeof Refusal>

/** One value found in a payload, in the quantity's own unit; `at` is null when the payload carries no time. */
export const Found = z.strictObject({
  channel: z.string(),
  quantity: Quantity,
  value: z.number(),
  at: Instant.nullable(),
})
export type Found = z.infer<typeof Found>

/** A topic that has been heard: what it last carried, and whether a sensor claims it. */
export const Source = z.strictObject({
  topic: z.string(),
  claimedBy: z.array(SensorId),
  heard: z.int(),
  refused: z.partialRecord(Refusal, z.int()),
  lastAt: Instant,
  /** The last payload as text (hex where it is not text), cut to 200 characters. */
  sample: z.string(),
  /** What the last decodable payload held. */
  found: z.array(Found),
  lastRefusal: Refusal.nullable(),
})
export type Source = z.infer<typeof Source>
