import { createHmac, randomBytes } from 'node:crypto'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { hmacSeal } from '../../daemon/host/seal.ts'
import type { AlarmId, ChannelId, ContactId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { type LinkPurpose, purposeText, readPurpose } from '../../shared/telling/link.ts'

const key = randomBytes(32)
const seal = hmacSeal(key)

test('X1: what was sealed opens to the same text, and only with the same key', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (text) => {
      const token = seal.seal(text)
      expect(token).toMatch(/^[\w-]*\.[\w-]{22}$/)
      expect(seal.open(token)).toBe(text)
      expect(hmacSeal(randomBytes(32)).open(token)).toBeNull()
    }),
  )
})

test('X1: one sign changed anywhere, or one sign more or less, and it opens nothing', () => {
  const token = seal.seal('["a","limit:box:temperature:low",3,"ada",1768000000000]')
  const signs = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.'
  for (let i = 0; i < token.length; i++) {
    for (const sign of signs)
      if (sign !== token[i]) expect(seal.open(token.slice(0, i) + sign + token.slice(i + 1))).toBeNull()
    expect(seal.open(token.slice(0, i) + token.slice(i + 1))).toBeNull()
  }
  for (const more of [`${token}A`, `A${token}`, `${token}.`, `${token}=`, ` ${token}`, ''])
    expect(seal.open(more)).toBeNull()
})

test('the mac is HMAC-SHA256 (RFC 2104) of the text’s base64url, cut to 128 bits', () => {
  const [body = '', mac] = seal.seal('box').split('.')
  expect(Buffer.from(body, 'base64url').toString()).toBe('box')
  expect(mac).toBe(createHmac('sha256', key).update(body).digest().subarray(0, 16).toString('base64url'))
})

test('a key of 31 bytes is refused', () => {
  expect(() => hmacSeal(randomBytes(31))).toThrow('32 bytes')
})

test('a purpose is read back as it was, and nothing else is one', () => {
  const contact = 'ada' as ContactId
  const until = 1_768_000_000_000 as Instant
  const links: LinkPurpose[] = [
    { purpose: 'answer', alarm: 'silent:probe' as AlarmId, occurrence: 7, contact, until },
    { purpose: 'ring', channel: 'ada-phone' as ChannelId, contact, until },
  ]
  for (const link of links) expect(readPurpose(purposeText(link))).toEqual(link)
  for (const text of [
    '',
    '{}',
    '[]',
    'null',
    '["a"]',
    '["a","x","1","ada",1]',
    '["r",1,"ada",1]',
    '["z","x","ada",1]',
  ])
    expect(readPurpose(text)).toBeNull()
  fc.assert(fc.property(fc.jsonValue(), (value) => void readPurpose(JSON.stringify(value))))
})
