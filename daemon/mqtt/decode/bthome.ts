import { createDecipheriv } from 'node:crypto'
import type { Quantity } from '../../../schemas/quantity.ts'
import { lengthOf, measured, type BthomeObject } from './bthome-objects.ts'
import { decodedFrom, gather, gathering, refused, taken, type Decoded, type Step } from './decoded.ts'

/** Bind key and MAC address as hex digits; both are needed for encrypted data. */
export interface BthomeSecrets {
  readonly key?: string | undefined
  readonly mac?: string | undefined
}

/**
 * BTHome v2 (bthome.io/format): service data with or without its UUID, or a whole advertisement that holds it, as
 * bytes or as hex text. Several values of one quantity are told apart by channel: none, `2`, `3` …, in their order.
 * A timestamp object is a measured value in that format, not the time of the others, so no value has its own time.
 */
export function decodeBthome(payload: Uint8Array, secrets: BthomeSecrets): Decoded {
  const service = serviceDataIn(bytesOf(payload))
  if (service === null) return refused('notBthome')
  const info = service[0]
  if (info === undefined || (info & VERSION_BITS) !== VERSION_2) return refused('notBthome')
  if ((info & ENCRYPTED) === 0) return valuesIn(service.subarray(1))
  const plain = decrypted(service, secrets)
  return plain.ok ? valuesIn(plain.value) : plain
}

/** The service data behind the UUID, device information first; null when none can be told. */
export function serviceDataIn(bytes: Uint8Array): Uint8Array | null {
  if (startsWithUuid(bytes)) return bytes.subarray(2)
  if (bytes[0] !== undefined && (bytes[0] & VERSION_BITS) === VERSION_2) return bytes
  return fromAdvertisement(bytes)
}

/** Hex text (digits in pairs, white space between them allowed) as its bytes; anything else as it is. */
export function bytesOf(payload: Uint8Array): Uint8Array {
  if (payload.length > MAX_HEX_LENGTH) return payload
  const digits: number[] = []
  for (const byte of payload) {
    const digit = hexDigit(byte)
    if (digit !== null) digits.push(digit)
    else if (!isSpace(byte)) return payload
  }
  if (digits.length < 2 || digits.length % 2 !== 0) return payload
  return Uint8Array.from({ length: digits.length / 2 }, (_, i) => digits[2 * i]! * 16 + digits[2 * i + 1]!)
}

/** UUID 0xFCD2, low byte first. */
const UUID = [0xd2, 0xfc] as const
const startsWithUuid = (bytes: Uint8Array): boolean => bytes[0] === UUID[0] && bytes[1] === UUID[1]

/** Device information: bits 5 to 7 are the version, bit 0 says that the rest is encrypted. */
const VERSION_BITS = 0b1110_0000
const VERSION_2 = 0b0100_0000
const ENCRYPTED = 0b0000_0001

/** Bytes: an id and a value of one byte. */
const SHORTEST_OBJECT = 2

const COUNTER_BYTES = 4
const MIC_BYTES = 4

/** Characters: the longest extended Bluetooth advertisement, 1650 bytes (from memory), as spaced hex. */
const MAX_HEX_LENGTH = 3 * 1650

/** Advertising data: elements of a length byte, a type byte and data; type 0x16 is service data with a 16-bit UUID. */
const SERVICE_DATA_16 = 0x16

function fromAdvertisement(bytes: Uint8Array): Uint8Array | null {
  for (let i = 0; i + 1 < bytes.length; ) {
    const length = bytes[i]!
    if (length === 0) return null // early end: the rest is padding
    const data = bytes.subarray(i + 2, i + 1 + length)
    if (bytes[i + 1] === SERVICE_DATA_16 && startsWithUuid(data)) return data.subarray(2)
    i += 1 + length
  }
  return null
}

/** bthome.io/encryption: AES-128-CCM, nonce = MAC ‖ UUID ‖ device information ‖ counter; counter and MIC come last. */
function decrypted(service: Uint8Array, { key, mac }: BthomeSecrets): Step<Uint8Array> {
  if (key === undefined || mac === undefined) return refused('keyMissing')
  const end = service.length - COUNTER_BYTES - MIC_BYTES
  if (end < 1 + SHORTEST_OBJECT) return refused('truncated')
  const counter = service.subarray(end, end + COUNTER_BYTES)
  const nonce = Buffer.concat([Buffer.from(mac, 'hex'), Uint8Array.from([...UUID, service[0]!]), counter])
  const decipher = createDecipheriv('aes-128-ccm', Buffer.from(key, 'hex'), nonce, {
    authTagLength: MIC_BYTES,
  })
  decipher.setAuthTag(service.subarray(end + COUNTER_BYTES))
  try {
    const plain = decipher.update(service.subarray(1, end))
    decipher.final()
    return taken(plain)
  } catch {
    return refused('wrongKey') // key and nonce have the right lengths, so only the MIC can be at fault
  }
}

/**
 * Objects in a row. An unknown id has an unknown length, so it ends the reading and what came before stays; an object
 * that is cut short means that the message is damaged, and nothing of it is believed.
 */
function valuesIn(objects: Uint8Array): Decoded {
  const gathered = gathering()
  const seen = new Map<Quantity, number>()
  for (let i = 0; i < objects.length; ) {
    const id = objects[i]!
    const object = measured.get(id)
    const stated = object?.bytes ?? lengthOf(id)
    if (stated === undefined) break
    const length = stated === 'counted' ? 1 + (objects[i + 1] ?? 0) : stated
    const end = i + 1 + length
    if (end > objects.length) return refused('truncated')
    if (object !== undefined) {
      const nth = (seen.get(object.quantity) ?? 0) + 1
      seen.set(object.quantity, nth)
      gather(gathered, object.quantity, valueAt(objects, i + 1, object), nth === 1 ? '' : String(nth), null)
    }
    i = end
  }
  return decodedFrom(gathered)
}

/** Whole numbers are multiplied and divided, never scaled by 0.01, so that 5055 is 50.55 and not 50.550000000000004. */
function valueAt(
  bytes: Uint8Array,
  at: number,
  { bytes: size, isSigned, factor, divisor }: BthomeObject,
): number {
  const unsigned = size === 1 ? bytes[at]! : bytes[at]! + bytes[at + 1]! * 256
  const limit = size === 1 ? 0x100 : 0x10000
  const code = isSigned && unsigned >= limit / 2 ? unsigned - limit : unsigned
  return (code * (factor ?? 1)) / divisor
}

function hexDigit(byte: number): number | null {
  if (byte >= 0x30 && byte <= 0x39) return byte - 0x30
  const letter = byte | 0x20
  return letter >= 0x61 && letter <= 0x66 ? letter - 0x61 + 10 : null
}

const isSpace = (byte: number): boolean => byte === 0x20 || (byte >= 0x09 && byte <= 0x0d)
