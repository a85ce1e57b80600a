import type { Quantity } from '../../../schemas/quantity.ts'
import type { WireUnit } from '../../../schemas/sensor.ts'
import { textOf } from './bounded-json.ts'
import { decodedFrom, gather, gathering, type Decoded } from './decoded.ts'
import { valueFrom } from './wire-unit.ts'

/**
 * A payload that is one number and nothing else, white space around it aside: JSON's grammar, so a decimal comma is
 * refused. Door and power also take `on`, `off`, `true`, `false`, `open`, `closed`, in any case.
 */
export function decodeNumber(payload: Uint8Array, quantity: Quantity, unit: WireUnit | undefined): Decoded {
  const text = textOf(payload)
  if (!text.ok) return text
  const value = valueFrom(text.value, quantity, unit)
  if (!value.ok) return value
  const gathered = gathering()
  gather(gathered, quantity, value.value, '', null)
  return decodedFrom(gathered)
}
