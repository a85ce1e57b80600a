import type { Decoder } from '../../../schemas/sensor.ts'
import type { Instant } from '../../../schemas/units.ts'
import { jsonOf } from './bounded-json.ts'
import { decodedFrom, gather, gathering, leaveOut, refused, type Decoded } from './decoded.ts'
import { parsePointer, resolvePointer } from './json-pointer.ts'
import { ownTime } from './own-time.ts'
import { valueFrom } from './wire-unit.ts'

/**
 * JSON read by the keeper's own pointers (RFC 6901). Fields that a message leaves out are left out; it is refused when
 * none is there. A time that was pointed at must be there and be one: without it old and fresh would look alike.
 */
export function decodeJsonFields(payload: Uint8Array, decoder: Decoder & { kind: 'json' }): Decoded {
  const json = jsonOf(payload)
  if (!json.ok) return json

  let at: Instant | null = null
  if (decoder.at !== undefined) {
    const raw = pointedAt(json.value, decoder.at)
    if (raw === undefined) return refused('pointerMissing')
    at = ownTime(raw)
    if (at === null) return refused('badTime')
  }

  const gathered = gathering()
  for (const { pointer, quantity, unit } of decoder.fields) {
    const raw = pointedAt(json.value, pointer)
    if (raw === undefined) {
      leaveOut(gathered, 'pointerMissing')
      continue
    }
    const value = valueFrom(raw, quantity, unit)
    if (value.ok) gather(gathered, quantity, value.value, '', at)
    else leaveOut(gathered, value.refusal)
  }
  return decodedFrom(gathered)
}

function pointedAt(document: unknown, pointer: string): unknown {
  const tokens = parsePointer(pointer)
  return tokens === null ? undefined : resolvePointer(document, tokens)
}
