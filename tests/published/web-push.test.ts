import { createECDH, randomBytes } from 'node:crypto'
import fc from 'fast-check'
import ece from 'http_ece'
import { describe, expect, test } from 'vitest'
import webPush from 'web-push'

const bytes = (text: string): Buffer => Buffer.from(text, 'base64url')
const version = 'aes128gcm' as const

// the coding library under web-push, at the very version that web-push uses
describe('RFC 8188, encrypted content-encoding', () => {
  const walrus = Buffer.from('I am the walrus')

  test('§3.1: one record of 4096 octets', () => {
    const body = 'I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg'
    const key = 'yqdlZ-tYemfogSmv7Ws5PQ'
    expect(bytes(body)).toHaveLength(53)
    const coding = { version, key, salt: 'I1BsxtFttlv3u_Oo94xnmw' }
    expect(ece.encrypt(walrus, coding).toString('base64url')).toBe(body)
    expect(ece.decrypt(bytes(body), { version, key })).toEqual(walrus)
  })

  test('§3.2: two records of 25 octets, one octet of padding in the first, key “a1”', () => {
    const body =
      'uNCkWiNYzKTnBN9ji3-qWAAAABkCYTHOG8chz_gnvgOqdGYovxyjuqRyJFjEDyoF1Fvkj6hQPdPHI51OEUKEpgz3SsLWIqS_uA'
    const key = 'BO3ZVPxUlnLORbVGMpbT1Q'
    expect(bytes(body)).toHaveLength(73)
    const coding = { version, key, keyid: 'a1', salt: 'uNCkWiNYzKTnBN9ji3-qWA', rs: 25, pad: 1 }
    expect(ece.encrypt(walrus, coding).toString('base64url')).toBe(body)
    expect(ece.decrypt(bytes(body), { version, keymap: { a1: bytes(key) } })).toEqual(walrus)
  })

  test('a body with one bit turned is refused', () => {
    const body = bytes('I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg')
    body.writeUInt8(body.readUInt8(30) ^ 1, 30)
    expect(() => ece.decrypt(body, { version, key: 'yqdlZ-tYemfogSmv7Ws5PQ' })).toThrow()
  })
})

describe('RFC 8291, Appendix A', () => {
  const plaintext = Buffer.from('When I grow up, I want to be a watermelon')
  const uaPublic = 'BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4'
  const asPublic = 'BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8'
  const authSecret = 'BTBZMqHH6r4Tts7J_aSIgg'
  const body =
    'DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN'
  const keyOf = (secret: string) => {
    const key = createECDH('prime256v1')
    key.setPrivateKey(bytes(secret))
    return key
  }
  const receiver = keyOf('q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94')
  const sender = keyOf('yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw')

  test('the two key pairs are pairs', () => {
    expect(receiver.getPublicKey('base64url')).toBe(uaPublic)
    expect(sender.getPublicKey('base64url')).toBe(asPublic)
  })

  test('the body of the example is decrypted with the browser’s keys', () => {
    expect(ece.decrypt(bytes(body), { version, privateKey: receiver, authSecret })).toEqual(plaintext)
  })

  test('the same keys and salt make the same 144 octets', () => {
    const coding = { version, privateKey: sender, dh: uaPublic, authSecret, salt: 'DGv6ra1nlYgDCS1FRnbzlw' }
    const made = ece.encrypt(plaintext, { ...coding, rs: 4096 })
    expect(made).toHaveLength(144)
    expect(made.toString('base64url')).toBe(body)
  })

  test('another browser’s secret does not open it', () => {
    const other = randomBytes(16).toString('base64url')
    expect(() => ece.decrypt(bytes(body), { version, privateKey: receiver, authSecret: other })).toThrow()
  })

  test('whatever is encrypted for a browser comes out the same, with a fresh key and salt each time', () => {
    const key = createECDH('prime256v1')
    const p256dh = key.generateKeys('base64url')
    const auth = randomBytes(16).toString('base64url')
    const seen = new Set<string>()
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 900 }), (text) => {
        const { cipherText, salt, localPublicKey } = webPush.encrypt(p256dh, auth, text, 'aes128gcm')
        // header 86 octets, padding delimiter 1, tag 16 (RFC 8291 §4, RFC 8188 §2)
        expect(cipherText).toHaveLength(Buffer.byteLength(text) + 103)
        const coding = { version, privateKey: key, authSecret: auth }
        expect(ece.decrypt(cipherText, coding)).toEqual(Buffer.from(text))
        const fresh = `${salt} ${Buffer.from(localPublicKey).toString('base64url')}`
        expect(seen.has(fresh)).toBe(false)
        seen.add(fresh)
      }),
    )
  })
})
