import { createCipheriv } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lengthOf, measured } from '../../daemon/mqtt/decode/bthome-objects.ts'
import { decode } from '../../daemon/mqtt/decode/decode.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { instant } from '../../schemas/amounts.ts'

const now = instant(Date.UTC(2026, 0, 15))
const bytes = (hex: string) => Buffer.from(hex.replaceAll(' ', ''), 'hex')
const read = (payload: Uint8Array, secrets: { key?: string; mac?: string } = {}) =>
  decode({ kind: 'bthome', ...secrets }, payload, now)
const found = (quantity: Quantity, value: number, channel = '') => ({ channel, quantity, value, at: null })

/** bthome.io/encryption. */
const key = '231d39c1d7cc1ab1aee224cd096db932'
const mac = '5448E68F80A5'
const encrypted = 'D2FC 41 E445F3C9962B 33221100 6C7C4519'

describe('BTHome v2 (bthome.io/format)', () => {
  const plain = { ok: true, found: [found('temperature', 25), found('humidity', 50.55)] }

  it('finds 25.00 °C and 50.55 % in the published advertisement (bthome.io/format, "Advertising payload")', () => {
    expect(read(bytes('020106 0B094449592D73656E736F72 0A16D2FC4002C40903BF13'))).toEqual(plain)
  })

  it.each(['D2FC 40 02C409 03BF13', '40 02C409 03BF13'])(
    'finds them in the service data %s, as bytes and as hex text',
    (hex) => {
      expect(read(bytes(hex))).toEqual(plain)
      expect(read(Buffer.from(hex))).toEqual(plain)
      expect(read(Buffer.from(hex.toLowerCase().replaceAll(' ', '')))).toEqual(plain)
    },
  )

  it('finds 25.00 °C and 49.83 % in the second published payload', () => {
    expect(read(bytes('D2FC 40 02C409 037713'))).toEqual({
      ok: true,
      found: [found('temperature', 25), found('humidity', 49.83)],
    })
  })

  it.each([
    ['01 61', 'battery', 97],
    ['02 CA09', 'temperature', 25.06],
    ['03 BF13', 'humidity', 50.55],
    ['2E 23', 'humidity', 35],
    ['45 1101', 'temperature', 27.3],
    ['57 EA', 'temperature', -22],
    ['58 EA', 'temperature', -7.7],
    ['0C 020C', 'voltage', 3.074],
    ['4A 020C', 'voltage', 307.4],
    ['1A 00', 'door', 0],
    ['11 00', 'door', 0],
    ['1B 01', 'door', 1],
    ['2D 01', 'door', 1],
    ['10 01', 'power', 1],
  ] as const)(
    'reads the table\'s example %s as %s %d (bthome.io/format, "Supported data types")',
    (hex, quantity, value) => {
      expect(read(bytes(`40 ${hex}`))).toEqual({ ok: true, found: [found(quantity, value)] })
    },
  )

  it.each([
    ['02 F401', 'temperature', 5],
    ['02 CEFF', 'temperature', -0.5],
    ['03 F622', 'humidity', 89.5],
    ['0C C40B', 'voltage', 3.012],
  ] as const)('reads %s as %s %d (calculated)', (hex, quantity, value) => {
    expect(read(bytes(`40 ${hex}`))).toEqual({ ok: true, found: [found(quantity, value)] })
  })

  it.each([
    '00 09',
    '04 138A01',
    '05 138A14',
    '06 5E1F',
    '07 3E1D',
    '08 CA06',
    '09 60',
    '0A 138A14',
    '0B 021B00',
    '0D 120C',
    '0E 021C',
    '0F 01',
    '12 E204',
    '13 3301',
    '14 020C',
    '15 01',
    '16 01',
    '17 00',
    '18 01',
    '19 00',
    '1C 01',
    '1D 00',
    '1E 01',
    '1F 01',
    '20 01',
    '21 00',
    '22 01',
    '23 01',
    '24 00',
    '25 00',
    '26 01',
    '27 01',
    '28 00',
    '29 01',
    '2A 00',
    '2B 00',
    '2C 01',
    '2F 23',
    '3A 01',
    '3C 0103',
    '3D 0960',
    '3E 2A2C0960',
    '3F 020C',
    '40 0C00',
    '41 4E00',
    '42 4E3400',
    '43 4E34',
    '44 4E34',
    '46 32',
    '47 8756',
    '48 DC87',
    '49 DC87',
    '4B 138A14',
    '4C 41018A01',
    '4D 12138A14',
    '4E 87562A01',
    '4F 87562A01',
    '50 5D396164',
    '51 8756',
    '52 8756',
    '53 0C48656C6C6F20576F726C6421',
    '54 0C48656C6C6F20576F726C6421',
    '55 87562A01',
    '56 E803',
    '59 EA',
    '5A EAEA',
    '5B EA0234EA',
    '5C 02FBFFFF',
    '5D 02EA',
    '5E 9F8C',
    '5F A00F',
    'F0 0100',
    'F1 00010204',
    'F2 000106',
  ])('steps over the example %s and reads what stands behind it (bthome.io/format)', (hex) => {
    expect(read(bytes(`40 ${hex} 02CA09`))).toEqual({ ok: true, found: [found('temperature', 25.06)] })
  })

  it.each(['61 AC0D', '62 4099DFFF', '63 0057D0FF'])(
    'steps over %s (public test payloads of later objects)',
    (hex) => {
      expect(read(bytes(`40 ${hex} 02CA09`))).toEqual({ ok: true, found: [found('temperature', 25.06)] })
    },
  )

  it('stops at an object id that it does not know and keeps what came before (bthome.io/format)', () => {
    expect(lengthOf(0xee)).toBeUndefined()
    expect(read(bytes('40 02CA09 EE 03BF13'))).toEqual({ ok: true, found: [found('temperature', 25.06)] })
    expect(read(bytes('40 EE 02CA09'))).toEqual({ ok: false, refusal: 'nothingRecognised' })
  })

  it('numbers further values of one quantity by their order (bthome.io/format, "Multiple measurements")', () => {
    expect(read(bytes('40 02CA09 02F401 451101 03BF13'))).toEqual({
      ok: true,
      found: [
        found('temperature', 25.06),
        found('temperature', 5, '2'),
        found('temperature', 27.3, '3'),
        found('humidity', 50.55),
      ],
    })
  })

  it.each(['02', '02CA', '02CA09 03BF', '53', '53 0C48', '02CA09 4D 1213'])(
    'believes nothing of a message that is cut short: %s',
    (hex) => {
      expect(read(bytes(`40 ${hex}`))).toEqual({ ok: false, refusal: 'truncated' })
    },
  )

  it.each(['', 'D2FC', '20 02CA09', '60 02CA09', 'D2FC 20 02CA09', '020106', '0A161C184002C40903BF13'])(
    'refuses %j: no version 2 service data',
    (hex) => {
      const payload = bytes(hex)
      expect(read(payload)).toEqual({ ok: false, refusal: payload.length === 0 ? 'empty' : 'notBthome' })
    },
  )

  it('takes a trigger based device (bit 2) as any other', () => {
    expect(read(bytes('44 02CA09'))).toEqual({ ok: true, found: [found('temperature', 25.06)] })
  })

  it('leaves a battery of 255 % out and keeps the temperature beside it', () => {
    expect(read(bytes('40 01FF 02CA09'))).toEqual({ ok: true, found: [found('temperature', 25.06)] })
    expect(read(bytes('40 01FF'))).toEqual({ ok: false, refusal: 'outOfBounds' })
  })
})

describe('BTHome v2 encryption (bthome.io/encryption)', () => {
  const opened = { ok: true, found: [found('temperature', 25.06), found('humidity', 50.55)] }

  it('opens the published example with its key and MAC address', () => {
    expect(read(bytes(encrypted), { key, mac })).toEqual(opened)
    expect(read(bytes(encrypted.slice(5)), { key, mac: mac.toLowerCase() })).toEqual(opened)
    expect(read(Buffer.from(encrypted), { key: key.toUpperCase(), mac })).toEqual(opened)
  })

  it('asks for the key when either part is missing', () => {
    for (const secrets of [{}, { key }, { mac }]) {
      expect(read(bytes(encrypted), secrets)).toEqual({ ok: false, refusal: 'keyMissing' })
    }
  })

  it('names the wrong key for any flipped bit of key, MAC address, device information, data, counter or code', () => {
    const wrong = { ok: false, refusal: 'wrongKey' }
    const flip = (hex: string, bit: number) => {
      const raw = bytes(hex)
      raw[bit >> 3]! ^= 1 << (bit & 7)
      return raw
    }
    for (let bit = 0; bit < 128; bit++)
      expect(read(bytes(encrypted), { key: flip(key, bit).toString('hex'), mac })).toEqual(wrong)
    for (let bit = 0; bit < 48; bit++)
      expect(read(bytes(encrypted), { key, mac: flip(mac, bit).toString('hex') })).toEqual(wrong)
    for (let bit = 24; bit < 17 * 8; bit++) expect(read(flip(encrypted, bit), { key, mac })).toEqual(wrong)
    expect(read(flip(encrypted, 18), { key, mac })).toEqual(wrong) // the trigger flag belongs to the nonce
  })

  it('refuses what is too short to hold an object, the counter and the code', () => {
    expect(read(bytes('41 E4 33221100 6C7C4519'), { key, mac })).toEqual({ ok: false, refusal: 'truncated' })
    expect(read(bytes('41'), { key, mac })).toEqual({ ok: false, refusal: 'truncated' })
  })

  it('opens whatever was sealed by the published recipe', () => {
    const hexOf = (length: number) => fc.uint8Array({ minLength: length, maxLength: length })
    fc.assert(
      fc.property(
        hexOf(16),
        hexOf(6),
        hexOf(4),
        fc.integer({ min: -4000, max: 8500 }),
        (secret, address, counter, code) => {
          const objects = Buffer.from([0x02, 0, 0])
          objects.writeInt16LE(code, 1)
          const nonce = Buffer.concat([address, bytes('D2FC41'), counter])
          const cipher = createCipheriv('aes-128-ccm', secret, nonce, { authTagLength: 4 })
          const sealed = Buffer.concat([cipher.update(objects), cipher.final()])
          const payload = Buffer.concat([bytes('D2FC41'), sealed, counter, cipher.getAuthTag()])
          const hex = (raw: Uint8Array) => Buffer.from(raw).toString('hex')
          expect(read(payload, { key: hex(secret), mac: hex(address) })).toEqual({
            ok: true,
            found: [found('temperature', code / 100 + 0)],
          })
        },
      ),
      { numRuns: 300 },
    )
  })
})

describe('The table of BTHome objects', () => {
  it('lists no id both as measured and as stepped over', () => {
    for (const id of measured.keys()) {
      if (id === 0x1a || id === 0x1b || id === 0x2d) continue // inside the run of one-byte on/off sensors
      expect(lengthOf(id)).toBeUndefined()
    }
  })
})
