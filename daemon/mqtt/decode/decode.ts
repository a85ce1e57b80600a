import type { Quantity } from '../../../schemas/quantity.ts'
import type { Decoder } from '../../../schemas/sensor.ts'
import type { Instant } from '../../../schemas/units.ts'
import { recognise } from './auto.ts'
import { decodeBthome } from './bthome.ts'
import { MAX_PAYLOAD_BYTES, refused, type Decoded } from './decoded.ts'
import { decodeJsonFields } from './json-fields.ts'
import { decodeNumber } from './number.ts'
import { decodeSenmlCbor } from './senml-cbor.ts'
import { decodeSenmlJson } from './senml-json.ts'

/**
 * A payload's values, each in its quantity's own unit and within what a sensor can mean, or the reason why there is
 * none. `now` only resolves SenML's relative times; null for a retained message, in which they have no instant (L6).
 * `topicHint`: what the topic's own words say is measured (`hintOf`), for the `auto` decoder.
 */
export function decode(
  decoder: Decoder,
  payload: Uint8Array,
  now: Instant | null,
  topicHint: Quantity | null = null,
): Decoded {
  if (payload.length === 0) return refused('empty')
  if (payload.length > MAX_PAYLOAD_BYTES) return refused('tooLarge')
  switch (decoder.kind) {
    case 'auto':
      return recognise(payload, now, topicHint)
    case 'senmlJson':
      return decodeSenmlJson(payload, now)
    case 'senmlCbor':
      return decodeSenmlCbor(payload, now)
    case 'json':
      return decodeJsonFields(payload, decoder)
    case 'number':
      return decodeNumber(payload, decoder.quantity, decoder.unit)
    case 'bthome':
      return decodeBthome(payload, decoder)
    default:
      return decoder satisfies never
  }
}
