/** The part of http_ece, the library under web-push, that the tests use: RFC 8188 and, with `authSecret`, RFC 8291. */
declare module 'http_ece' {
  import type { ECDH } from 'node:crypto'

  interface Coding {
    readonly version: 'aes128gcm'
    readonly key?: string
    readonly keyid?: string
    readonly keymap?: Readonly<Record<string, Buffer>>
    readonly salt?: string
    readonly rs?: number
    readonly pad?: number
    readonly privateKey?: ECDH
    readonly dh?: string
    readonly authSecret?: string
  }
  const ece: {
    encrypt(plaintext: Buffer, coding: Coding): Buffer
    decrypt(body: Buffer, coding: Coding): Buffer
  }
  export default ece
}
