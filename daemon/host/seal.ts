import { createHmac, timingSafeEqual } from 'node:crypto'
import type { Seal } from '../ports/seal.ts'

/** 128 bits of the mac: not to be guessed, and the link stays short (RFC 2104 §5: not under half of the hash). */
const macBytes = 16

/** Signed text by HMAC-SHA256 (RFC 2104): `<text>.<mac>`, both base64url. `key`: at least 32 random bytes. */
export function hmacSeal(key: Uint8Array): Seal {
  if (key.byteLength < 32) throw new Error('The key of a seal needs at least 32 bytes.')
  const macOf = (body: string): Buffer =>
    createHmac('sha256', key).update(body).digest().subarray(0, macBytes)

  return {
    seal(text) {
      const body = Buffer.from(text).toString('base64url')
      return `${body}.${macOf(body).toString('base64url')}`
    },
    open(token) {
      const [body, mac, ...more] = token.split('.')
      if (body === undefined || mac === undefined || more.length > 0) return null
      const given = Buffer.from(mac, 'base64url')
      // Written back, so that two spellings of one mac are not two links.
      if (given.byteLength !== macBytes || given.toString('base64url') !== mac) return null
      return timingSafeEqual(given, macOf(body)) ? Buffer.from(body, 'base64url').toString() : null
    },
  }
}
