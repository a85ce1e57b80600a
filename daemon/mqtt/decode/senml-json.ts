import type { Instant } from '../../../schemas/units.ts'
import { jsonOf } from './bounded-json.ts'
import type { Decoded } from './decoded.ts'
import { senmlValues } from './senml-values.ts'

/** application/senml+json (RFC 8428 §5). `now` null: the message is retained, so nothing in it is relative to now. */
export function decodeSenmlJson(payload: Uint8Array, now: Instant | null): Decoded {
  const json = jsonOf(payload)
  return json.ok ? senmlValues(json.value, now) : json
}
