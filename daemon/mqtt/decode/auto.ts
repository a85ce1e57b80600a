import type { Quantity } from '../../../schemas/quantity.ts'
import type { Instant } from '../../../schemas/units.ts'
import { jsonOf, textOf } from './bounded-json.ts'
import { bytesOf, decodeBthome, serviceDataIn } from './bthome.ts'
import { commonKeys } from './common-keys.ts'
import { refused, type Decoded } from './decoded.ts'
import { decodeNumber } from './number.ts'
import { asNumber } from './number-text.ts'
import { decodeSenmlCbor } from './senml-cbor.ts'
import { senmlValues } from './senml-values.ts'

/**
 * Tells the format by its first bytes: a JSON array is SenML, a JSON object has common keys, a CBOR array is SenML,
 * then BTHome, then a bare number or word, which counts only when the topic says what it measures.
 */
export function recognise(payload: Uint8Array, now: Instant | null, topicHint: Quantity | null): Decoded {
  const first = firstMark(payload)
  if (first === OPEN_ARRAY || first === OPEN_OBJECT) {
    const json = jsonOf(payload)
    if (!json.ok) return json
    if (Array.isArray(json.value)) return senmlValues(json.value, now)
    return commonKeys(json.value as Readonly<Record<string, unknown>>)
  }
  if (isCborArray(payload[0]!)) return decodeSenmlCbor(payload, now)

  const text = textOf(payload)
  const isPlainText = text.ok && !CONTROL.test(text.value)
  if (looksLikeBthome(payload, isPlainText ? text.value : null)) return decodeBthome(payload, {})
  if (!isPlainText) return refused(text.ok ? 'nothingRecognised' : 'notUtf8')
  if (topicHint === null) return refused('nothingRecognised')
  return decodeNumber(payload, topicHint, undefined)
}

const OPEN_ARRAY = 0x5b
const OPEN_OBJECT = 0x7b

/** Control characters other than white space: no text. */
const CONTROL = /[^\P{Cc}\s]/u

/** The first byte behind a byte order mark and JSON's white space. */
function firstMark(payload: Uint8Array): number | undefined {
  let i = payload[0] === 0xef && payload[1] === 0xbb && payload[2] === 0xbf ? 3 : 0
  while (payload[i] === 0x20 || payload[i] === 0x09 || payload[i] === 0x0a || payload[i] === 0x0d) i++
  return payload[i]
}

/** CBOR major type 4 (RFC 8949 §3.1); UTF-8 text never begins with such a byte. */
const isCborArray = (byte: number): boolean => byte >= 0x80 && byte <= 0x9f

/**
 * Text counts only as hex that is no number, `4002` may be one, and holds the UUID or the two bytes at least that an
 * object needs. Bytes without the UUID count only with the reserved bits of the device information clear.
 */
function looksLikeBthome(payload: Uint8Array, text: string | null): boolean {
  const bytes = bytesOf(payload)
  if (text !== null && (bytes === payload || asNumber(text.trim()) !== null)) return false
  const service = serviceDataIn(bytes)
  if (service === null || service.length < 3) return false
  return service !== bytes || (bytes[0]! & RESERVED_BITS) === 0
}

const RESERVED_BITS = 0b0001_1010
