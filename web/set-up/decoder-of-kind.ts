import type { Decoder } from '../../schemas/sensor.ts'

/** A decoder of a kind with nothing but what it must have. */
export function decoderOfKind(kind: Decoder['kind']): Decoder {
  switch (kind) {
    case 'json':
      return { kind, fields: [{ pointer: '/temperature', quantity: 'temperature' }] }
    case 'number':
      return { kind, quantity: 'temperature' }
    case 'auto':
    case 'senmlJson':
    case 'senmlCbor':
    case 'bthome':
      return { kind }
    default:
      return kind satisfies never
  }
}
