import fc from 'fast-check'
import { encode } from 'cborg'
import { describe, expect, it } from 'vitest'
import { decode } from '../../daemon/mqtt/decode/decode.ts'
import { MAX_PAYLOAD_BYTES } from '../../daemon/mqtt/decode/decoded.ts'
import { ownTime } from '../../daemon/mqtt/decode/own-time.ts'
import { hintOf } from '../../daemon/mqtt/decode/quantity-words.ts'
import { inOwnUnit } from '../../daemon/mqtt/decode/wire-unit.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { Decoder } from '../../schemas/sensor.ts'
import { instant } from '../../schemas/amounts.ts'

const now = instant(Date.UTC(2026, 0, 15, 3, 0, 0))
const bytes = (payload: unknown): Uint8Array =>
  payload instanceof Uint8Array
    ? payload
    : Buffer.from(typeof payload === 'string' ? payload : JSON.stringify(payload))

const auto = (payload: unknown, hint: Quantity | null = null) =>
  decode({ kind: 'auto' }, bytes(payload), now, hint)
const senml = (payload: unknown, at: typeof now | null = now) =>
  decode({ kind: 'senmlJson' }, bytes(payload), at)
const json = (payload: unknown, fields: unknown[], at?: string) =>
  decode(Decoder.parse({ kind: 'json', fields, ...(at === undefined ? {} : { at }) }), bytes(payload), now)
const number = (payload: string, quantity: Quantity, unit?: string) =>
  decode(
    Decoder.parse({ kind: 'number', quantity, ...(unit === undefined ? {} : { unit }) }),
    bytes(payload),
    now,
  )

const one = (quantity: Quantity, value: number, channel = '', at: number | null = null) => ({
  ok: true,
  found: [{ channel, quantity, value, at }],
})
const refused = (refusal: string) => ({ ok: false, refusal })

describe('every decoder (X3)', () => {
  const kinds: Decoder[] = [
    { kind: 'auto' },
    { kind: 'senmlJson' },
    { kind: 'senmlCbor' },
    { kind: 'json', fields: [{ pointer: '', quantity: 'temperature' }] },
    { kind: 'number', quantity: 'temperature' },
    { kind: 'bthome' },
  ]
  it.each(kinds)('refuses nothing and too much by name: $kind', (decoder) => {
    expect(decode(decoder, new Uint8Array(0), now)).toEqual(refused('empty'))
    expect(decode(decoder, new Uint8Array(MAX_PAYLOAD_BYTES + 1), now)).toEqual(refused('tooLarge'))
    expect(decode(decoder, new Uint8Array(MAX_PAYLOAD_BYTES).fill(0x20), now)).not.toEqual(
      refused('tooLarge'),
    )
  })

  it('takes strict UTF-8 only', () => {
    const broken = Buffer.concat([
      Buffer.from('[{"n":"temp","v":5,"x":"'),
      Buffer.from([0xc3, 0x28]),
      Buffer.from('"}]'),
    ])
    expect(senml(broken)).toEqual(refused('notUtf8'))
    expect(auto(broken)).toEqual(refused('notUtf8'))
    expect(auto(Uint8Array.from([0xc0, 0xaf, 0x31]), 'temperature')).toEqual(refused('notUtf8'))
    expect(auto('\ufeff{"temp":5}')).toEqual(one('temperature', 5))
  })

  it('takes eight levels of JSON and refuses the ninth before parsing it', () => {
    const nested = (levels: number) => `{"temp":5,"x":${'['.repeat(levels - 1)}${']'.repeat(levels - 1)}}`
    expect(auto(nested(8))).toEqual(one('temperature', 5))
    expect(auto(nested(9))).toEqual(refused('tooDeep'))
    expect(auto('['.repeat(MAX_PAYLOAD_BYTES))).toEqual(refused('tooDeep'))
    expect(auto('{"temp":5,"x":"[[[[[[[[[[[[\\"[[[[[[[[[[[["}')).toEqual(one('temperature', 5))
  })

  it.each([
    ['temperature', -273.15, 1000],
    ['humidity', -100, 1000],
    ['battery', 0, 100],
    ['voltage', -1000, 1000],
    ['door', 0, 1],
    ['power', 0, 1],
  ] as const)('takes %s from %d to %d, ends included', (quantity, low, high) => {
    for (const value of [low, high]) expect(number(String(value), quantity)).toEqual(one(quantity, value))
    for (const value of [low - 0.01, high + 0.01, 1e308, -1e308]) {
      expect(number(String(value), quantity)).toEqual(refused('outOfBounds'))
    }
    expect(number('1e999', quantity)).toEqual(refused('outOfBounds'))
  })

  it('lets the fault values of broken probes through, so that they can be named (-127, 85, -242, 130)', () => {
    for (const value of [-127, 85, -242, 130])
      expect(number(String(value), 'temperature')).toEqual(one('temperature', value))
  })

  it('has no door between open and closed', () => {
    expect(number('0.5', 'door')).toEqual(refused('outOfBounds'))
  })
})

describe('SenML', () => {
  it('takes the quantity from the unit and the channel from what the name says beyond it', () => {
    const pack = [
      { bn: 'urn:dev:mac:0123456789ab:', n: 'temperature', u: 'Cel', v: 5.06 },
      { n: 'humidity', u: '%RH', v: 88 },
      { n: 'shelf/temperature', u: 'K', v: 278.65 },
      { n: 'substrate', u: 'Cel', v: 4.5 },
      { n: 'battery', u: '%EL', v: 71 },
      { n: 'cell', u: 'V', v: 2.98 },
      { n: 'cell', u: 'mV', v: 2980 },
      { n: 'dewpoint', u: 'Cel', v: 3 },
      { n: 'pressure', u: 'Pa', v: 101325 },
      { n: 'firmware', vs: '1.2' },
    ]
    const outcome = senml(pack)
    expect(
      outcome.ok && outcome.found.map(({ channel, quantity, value }) => [channel, quantity, value]),
    ).toEqual([
      ['urn:dev:mac:0123456789ab', 'temperature', 5.06],
      ['urn:dev:mac:0123456789ab', 'humidity', 88],
      ['urn:dev:mac:0123456789ab:shelf', 'temperature', 5.5],
      ['urn:dev:mac:0123456789ab:substrate', 'temperature', 4.5],
      ['urn:dev:mac:0123456789ab', 'battery', 71],
      ['urn:dev:mac:0123456789ab:cell', 'voltage', 2.98],
      ['urn:dev:mac:0123456789ab:cell', 'voltage', 2.98],
      ['urn:dev:mac:0123456789ab:dewpoint', 'temperature', 3],
    ])
  })

  it.each([
    [{ n: 'temp', v: 5 }, one('temperature', 5)],
    [{ n: 'temp_f', v: 41 }, one('temperature', 5)],
    [{ n: 'box:temp2', v: 5 }, one('temperature', 5, 'box:temp2')],
    [{ n: 'rh', u: '/', v: 0.895 }, one('humidity', 89.5)],
    [{ n: 'humidity', u: '%', v: 89.5 }, one('humidity', 89.5)],
    [{ n: 'battery', u: '/', v: 0.5 }, one('battery', 50)],
    [{ n: 'door', u: '/', v: 1 }, one('door', 1)],
    [{ n: 'fridge/door', vb: true }, one('door', 1, 'fridge')],
    [{ n: 'contact', vb: true }, one('door', 0)],
    [{ n: 'door', vs: 'OPEN' }, one('door', 1)],
    [{ n: 'mains', vb: false }, one('power', 0)],
    [{ n: 'probe-1', u: 'Cel', bv: 20, v: -15 }, one('temperature', 5, 'probe-1')],
    [{ n: 'temp', u: 'lx', v: 5 }, refused('badUnit')],
    [{ n: 'temp', u: '/', v: 5 }, refused('badUnit')],
    [{ n: 'noise', u: '/', v: 5 }, refused('nothingRecognised')],
    [{ n: 'motion', vb: true }, refused('nothingRecognised')],
    [{ n: 'temp', u: 'Cel', v: '5' }, refused('noNumber')],
    [{ n: 'temp', u: 5, v: 5 }, refused('badUnit')],
    [{ n: 5, v: 5 }, refused('badName')],
    [{ n: 'temp', v: 5, t: 'now' }, refused('badTime')],
    [{ n: 'temp', u: 'Cel', v: 1001 }, refused('outOfBounds')],
    [{ n: 'temp', u: 'Cel', v: 5, t: 268_435_456 }, refused('badTime')], // 1978
    [{ n: 'temp', u: 'Cel', v: 5, t: 5e9 }, refused('badTime')], // 2128
    [{ n: 'temp', u: 'Cel', v: 5, t: -1e12 }, refused('badTime')],
    [{ n: `${'a'.repeat(121)}`, u: 'Cel', v: 5 }, refused('badName')],
    [{ n: `${'a'.repeat(120)}:temperature`, u: 'Cel', v: 5 }, one('temperature', 5, 'a'.repeat(120))],
  ])('%j', (record, outcome) => {
    expect(senml([record])).toEqual(outcome)
  })

  it.each(['{"n":"temp","v":5}', '[]', '[5]', '[null]', '[[]]', '5', 'null'])(
    'is an array of records: %s is refused',
    (text) => {
      expect(senml(text)).toEqual(refused('notSenml'))
    },
  )

  it('names text that is not JSON', () => {
    for (const text of ['[{"n":"temp","v":5}', '[{"n":"temp","v":NaN}]', "[{'n':'temp'}]"])
      expect(senml(text)).toEqual(refused('notJson'))
  })

  it('keeps the good values of a pack when one is out of bounds or of no time', () => {
    const pack = [
      { n: 'temperature', u: 'Cel', v: 5 },
      { n: 'battery', u: '%EL', v: 255 },
      { n: 'humidity', u: '%RH', v: 90, t: 5e9 },
    ]
    expect(senml(pack)).toEqual(one('temperature', 5))
  })

  it('takes a thousand records and not one more (X3)', () => {
    const pack = (count: number) =>
      Array.from({ length: count }, (_, i) => ({ n: 'temp', v: 5, t: i - 5000 }))
    const outcome = senml(pack(1000))
    expect(outcome.ok && outcome.found.length).toBe(1000)
    expect(senml(pack(1001))).toEqual(refused('tooMany'))
  })

  it('has no instant for what is relative to now in a message that was kept (L6)', () => {
    const relative = [{ n: 'temp', u: 'Cel', v: 5, t: -60 }]
    expect(senml(relative)).toEqual(one('temperature', 5, '', now - 60_000))
    expect(senml(relative, null)).toEqual(one('temperature', 5, '', null))
    expect(senml([{ n: 'temp', u: 'Cel', v: 5, t: 1_768_000_000 }], null)).toEqual(
      one('temperature', 5, '', 1_768_000_000_000),
    )
  })
})

describe('SenML in CBOR', () => {
  const cbor = (payload: Uint8Array) => decode({ kind: 'senmlCbor' }, payload, now)
  const hex = (digits: string) => cbor(Buffer.from(digits.replaceAll(' ', ''), 'hex'))
  const record = (...entries: [unknown, unknown][]) => encode([new Map(entries)])

  it('takes integer and text labels, and refuses one label in both', () => {
    expect(cbor(record([0, 'temp'], [1, 'Cel'], [2, 5]))).toEqual(one('temperature', 5))
    expect(cbor(record(['n', 'temp'], ['u', 'Cel'], ['v', 5]))).toEqual(one('temperature', 5))
    expect(cbor(record([0, 'temp'], ['n', 'hum'], [2, 5]))).toEqual(refused('notSenml'))
    expect(cbor(record([0, 'temp'], [2, 5], ['__proto__', 1]))).toEqual(refused('unknownMandatoryLabel'))
    expect(cbor(record([0, 'temp'], [2, 5], [99, 1], [-99, 1], [[1], 1]))).toEqual(one('temperature', 5))
  })

  it('takes arrays and maps of indefinite length', () => {
    expect(hex('9f bf 00 64 74656d70 02 05 ff ff')).toEqual(one('temperature', 5))
  })

  it.each([
    ['an array that says it holds 2^32 - 1 records', '9a ffffffff', 'notCbor'],
    ['an array that says it holds 2^53 records', '9b 0020000000000000', 'notCbor'],
    ['a map that says it holds 2^32 - 1 members', '81 ba ffffffff', 'notCbor'],
    ['a text that says it has 4 GB', '81 a1 00 7a ffffffff 61', 'notCbor'],
    ['bytes that say they are 2^63 long', '81 a1 08 5b 8000000000000000', 'notCbor'],
    ['a thousand arrays in each other', '81'.repeat(1000), 'tooDeep'],
    ['ten thousand open arrays', '9f'.repeat(10_000), 'tooDeep'],
    ['a thousand tags in each other', `81a102${'c4'.repeat(1000)}`, 'tooDeep'],
    ['an unknown tag', '81 a2 00 64 74656d70 02 c1 05', 'notCbor'],
    ['a member twice', '81 a2 02 05 02 06', 'notCbor'],
    ['something behind the end', '81 a2 00 64 74656d70 02 05 00', 'notCbor'],
    ['a break where none belongs', 'ff', 'notCbor'],
    ['text that is not UTF-8', '81 a2 00 62 c328 02 05', 'notUtf8'],
    ['a map instead of an array', 'a2 00 64 74656d70 02 05', 'notSenml'],
    ['an array of numbers', '81 05', 'notSenml'],
    ['NaN', '81 a2 00 64 74656d70 02 f97e00', 'outOfBounds'],
    ['infinity', '81 a2 00 64 74656d70 02 f97c00', 'outOfBounds'],
    ['an integer beyond 2^53', '81 a2 00 64 74656d70 02 1b ffffffffffffffff', 'noNumber'],
    ['a time beyond 2^53', '81 a3 00 64 74656d70 02 05 06 1b ffffffffffffffff', 'badTime'],
    [
      'a decimal fraction with a huge exponent',
      '81 a2 00 64 74656d70 02 c4 82 1a ffffffff 01',
      'outOfBounds',
    ],
    ['a decimal fraction of one', '81 a2 00 64 74656d70 02 c4 81 01', 'notCbor'],
  ])('refuses %s', (_, digits, refusal) => {
    expect(hex(digits)).toEqual(refused(refusal))
  })
})

describe("JSON by the keeper's pointers", () => {
  const temperature = { pointer: '/a/0/t', quantity: 'temperature' }

  it.each([
    [{ a: [{ t: 5.5 }] }, undefined, one('temperature', 5.5)],
    [{ a: [{ t: '5.5' }] }, undefined, one('temperature', 5.5)],
    [{ a: [{ t: 41 }] }, 'fahrenheit', one('temperature', 5)],
    [{ a: [{ t: 75.2 }] }, 'fahrenheit', one('temperature', 24)],
    [{ a: [{ t: 278.15 }] }, 'kelvin', one('temperature', 5)],
    [{ a: [{ t: 5 }] }, 'percent', refused('badUnit')],
    [{ a: [{ t: '5,5' }] }, undefined, refused('noNumber')],
    [{ a: [{ t: null }] }, undefined, refused('noNumber')],
    [{ a: [{ t: true }] }, undefined, refused('noNumber')],
    [{ a: [{ t: [5] }] }, undefined, refused('noNumber')],
    [{ a: [{}] }, undefined, refused('pointerMissing')],
    [{ a: {} }, undefined, refused('pointerMissing')],
    ['text', undefined, refused('notJson')],
  ])('%j in %s', (document, unit, outcome) => {
    expect(json(document, [unit === undefined ? temperature : { ...temperature, unit }])).toEqual(outcome)
  })

  it('reads several fields, and those that are there when some are not', () => {
    const fields = [
      { pointer: '/t', quantity: 'temperature' },
      { pointer: '/h', quantity: 'humidity', unit: 'ratio' },
      { pointer: '/d', quantity: 'door', unit: 'boolean' },
      { pointer: '/mv', quantity: 'voltage', unit: 'millivolt' },
    ]
    const outcome = json({ t: 5, h: 0.9, d: 'closed', mv: 2980 }, fields)
    expect(outcome.ok && outcome.found.map(({ value }) => value)).toEqual([5, 90, 0, 2.98])
    expect(json({ t: 5 }, fields)).toEqual(one('temperature', 5))
  })

  it.each([
    [1_768_446_000, Date.UTC(2026, 0, 15, 3)],
    [1_768_446_000.25, Date.UTC(2026, 0, 15, 3) + 250],
    [1_768_446_000_123, Date.UTC(2026, 0, 15, 3) + 123],
    ['1768446000', Date.UTC(2026, 0, 15, 3)],
    ['2026-01-15T04:00:00+01:00', Date.UTC(2026, 0, 15, 3)],
    ['2026-01-15T03:00Z', Date.UTC(2026, 0, 15, 3)],
    ['2026-01-14 22:30:00.5-0430', Date.UTC(2026, 0, 15, 3, 0, 0, 500)],
    ['2028-02-29T00:00:00Z', Date.UTC(2028, 1, 29)],
    [946_684_800, Date.UTC(2000, 0, 1)],
    [4_133_980_799, Date.UTC(2100, 11, 31, 23, 59, 59)],
  ])('takes %j for the time of the reading', (raw, at) => {
    expect(json({ t: 5, at: raw }, [{ pointer: '/t', quantity: 'temperature' }], '/at')).toEqual(
      one('temperature', 5, '', at),
    )
  })

  it.each([
    946_684_799,
    4_133_980_800,
    0,
    -1,
    12,
    1e300,
    '2026-01-15T03:00:00',
    '2026-02-30T00:00:00Z',
    '2026-01-15T24:00:00Z',
    '2027-02-29T00:00:00Z',
    '2026-13-01T00:00:00Z',
    '03:00',
    '',
    null,
    true,
    [],
    {},
  ])('refuses the time %j', (raw) => {
    expect(json({ t: 5, at: raw }, [{ pointer: '/t', quantity: 'temperature' }], '/at')).toEqual(
      refused('badTime'),
    )
  })

  it('refuses a reading whose time is pointed at and not there', () => {
    expect(json({ t: 5 }, [{ pointer: '/t', quantity: 'temperature' }], '/at')).toEqual(
      refused('pointerMissing'),
    )
  })

  it('reads every instant of a century back from ISO 8601 in any offset and from milliseconds', () => {
    const when = fc.integer({ min: Date.UTC(2000, 0, 2), max: Date.UTC(2100, 11, 30) })
    fc.assert(
      fc.property(when, fc.integer({ min: -14 * 60, max: 14 * 60 }), (ms, east) => {
        const clock = new Date(ms + east * 60_000).toISOString().slice(0, -1)
        const two = (n: number) => String(n).padStart(2, '0')
        const offset = `${east < 0 ? '-' : '+'}${two(Math.floor(Math.abs(east) / 60))}:${two(Math.abs(east) % 60)}`
        expect(ownTime(clock + offset)).toBe(ms)
        expect(ownTime(ms)).toBe(ms)
        expect(ownTime(Math.floor(ms / 1000))).toBe(Math.floor(ms / 1000) * 1000)
      }),
    )
  })
})

describe('units on the wire', () => {
  it('turn into the own unit and back', () => {
    const degrees = fc.double({ min: -60, max: 150, noNaN: true })
    fc.assert(
      fc.property(degrees, (celsius) => {
        expect(inOwnUnit(celsius * 1.8 + 32, 'temperature', 'fahrenheit')).toBeCloseTo(celsius, 8)
        expect(inOwnUnit(celsius + 273.15, 'temperature', 'kelvin')).toBeCloseTo(celsius, 8)
      }),
    )
  })
})

describe('a bare number', () => {
  it.each([
    ['5.0625', 5.0625],
    [' \t-0.5\r\n', -0.5],
    ['5', 5],
    ['5e-1', 0.5],
    ['-0', 0],
  ])('%j is %d °C', (text, value) => {
    expect(number(text, 'temperature')).toEqual(one('temperature', value))
  })

  it.each([
    '5,5',
    '+5',
    '.5',
    '5.',
    '05',
    '0x5',
    'NaN',
    'Infinity',
    '5 C',
    '5 5',
    'on',
    'true',
    '--5',
    '٥',
    '   ',
    '9'.repeat(41),
  ])('%j is none', (text) => {
    expect(number(text, 'temperature')).toEqual(refused('noNumber'))
  })

  it.each([
    ['ON', 1],
    ['on', 1],
    ['OFF', 0],
    ['true', 1],
    ['False', 0],
    ['open', 1],
    ['CLOSED', 0],
    [' 1\n', 1],
    ['0', 0],
  ])('%j at a door is %d', (text, value) => {
    expect(number(text, 'door')).toEqual(one('door', value))
    expect(number(text, 'power')).toEqual(one('power', value))
  })

  it('converts its unit and refuses a foreign one', () => {
    expect(number('32', 'temperature', 'fahrenheit')).toEqual(one('temperature', 0))
    expect(number('2980', 'voltage', 'millivolt')).toEqual(one('voltage', 2.98))
    expect(number('5', 'temperature', 'volt')).toEqual(refused('badUnit'))
  })
})

describe('common keys', () => {
  it.each([
    [{ temperature: 5.1 }, one('temperature', 5.1)],
    [{ Temp: '5.1' }, one('temperature', 5.1)],
    [{ tempC: 5.1 }, one('temperature', 5.1)],
    [{ temperature_f: 50, temperature_c: 5.1 }, one('temperature', 5.1)], // the earlier word counts
    [{ temperature_c: 5.1, temperature_f: 50 }, one('temperature', 5.1)],
    [{ temperature_F: 41 }, one('temperature', 5)],
    [{ t: 5.1 }, one('temperature', 5.1)],
    [{ n: 'x', u: 'Cel', v: 5, t: -5 }, refused('nothingRecognised')],
    [{ hum: 90 }, one('humidity', 90)],
    [{ rh: 90 }, one('humidity', 90)],
    [{ battery: 97 }, one('battery', 97)],
    [{ batt: 3.01 }, one('voltage', 3.01)],
    [{ battery: 2987 }, one('voltage', 2.987)],
    [{ battery: 3 }, one('battery', 3)],
    [{ vbat: 2.98 }, one('voltage', 2.98)],
    [{ voltage: 2980 }, one('voltage', 2.98)],
    [{ door: 'open' }, one('door', 1)],
    [{ open: true }, one('door', 1)],
    [{ contact: true }, one('door', 0)],
    [{ contact: false }, one('door', 1)],
    [{ power: true }, one('power', 1)],
    [{ power: 'off' }, one('power', 0)],
    [{ power: 0 }, refused('noNumber')], // watts of a resting compressor, not a power cut
    [{ power: 62.5 }, refused('noNumber')],
    [{ temperature: null }, refused('nothingRecognised')],
    [{ temperature: [5.1, 5.2] }, refused('noNumber')],
    [{ temperature: '5,1' }, refused('noNumber')],
    [{ temperature: 85_000 }, refused('outOfBounds')],
    [{ colour: 'green' }, refused('nothingRecognised')],
    [{}, refused('nothingRecognised')],
  ])('%j', (document, outcome) => {
    expect(auto(document)).toEqual(outcome)
  })

  it('takes an object inside for a channel, and a numbered key for one', () => {
    const outcome = auto({
      probe1: { temperature: 5.1, humidity: 90 },
      'probe 2': { temperature: 4.9 },
      battery: 80,
      temp3: 6,
      deep: { er: { temp: 1 } },
    })
    expect(
      outcome.ok && outcome.found.map(({ channel, quantity, value }) => [channel, quantity, value]),
    ).toEqual([
      ['', 'battery', 80],
      ['temp3', 'temperature', 6],
      ['probe1', 'temperature', 5.1],
      ['probe1', 'humidity', 90],
      ['probe 2', 'temperature', 4.9],
    ])
  })

  it.each(['time', 'timestamp', 'ts', 'at', 'Timestamp'])('takes the time beside the values: %s', (key) => {
    const at = Date.UTC(2026, 0, 15, 3)
    expect(auto({ temp: 5, [key]: at / 1000 })).toEqual(one('temperature', 5, '', at))
    expect(auto({ [key]: new Date(at).toISOString(), box: { temp: 5 } })).toEqual(
      one('temperature', 5, 'box', at),
    )
    expect(auto({ [key]: at / 1000, box: { temp: 5, ts: at / 1000 - 60 } })).toEqual(
      one('temperature', 5, 'box', at - 60_000),
    )
  })

  it('refuses a clock that was never set, and passes local time over', () => {
    expect(auto({ temp: 5, time: 12 })).toEqual(refused('badTime'))
    expect(auto({ temp: 5, time: '2026-01-15T03:00:00' })).toEqual(one('temperature', 5))
  })

  it('never reads a prototype and takes no unprintable channel', () => {
    expect(auto('{"__proto__":{"temperature":5}}')).toEqual(one('temperature', 5, '__proto__'))
    expect(auto('{"constructor":5,"toString":5,"valueOf":{}}')).toEqual(refused('nothingRecognised'))
    expect(auto('{"a\\u0000":{"temp":5}}')).toEqual(refused('nothingRecognised'))
    expect(auto('{"\\ud800":{"temp":5}}')).toEqual(refused('nothingRecognised'))
    expect(auto({ ['a'.repeat(121)]: { temp: 5 } })).toEqual(refused('nothingRecognised'))
  })

  it('takes 256 members and not one more, nested ones counted (X3)', () => {
    const many = (count: number) => Object.fromEntries(Array.from({ length: count }, (_, i) => [`x${i}`, i]))
    expect(auto({ temp: 5, ...many(255) })).toEqual(one('temperature', 5))
    expect(auto({ temp: 5, ...many(256) })).toEqual(refused('tooMany'))
    expect(auto({ temp: 5, a: many(127), b: many(126) })).toEqual(one('temperature', 5))
    expect(auto({ temp: 5, a: many(127), b: many(127) })).toEqual(refused('tooMany'))
  })
})

describe('auto', () => {
  it('recognises SenML in JSON and CBOR, BTHome and JSON objects without being told', () => {
    expect(auto([{ n: 'temp', u: 'Cel', v: 5 }])).toEqual(one('temperature', 5))
    expect(
      auto(
        encode([
          new Map<unknown, unknown>([
            [0, 'temp'],
            [2, 5],
          ]),
        ]),
      ),
    ).toEqual(one('temperature', 5))
    expect(auto(Buffer.from('d2fc4002f401', 'hex'))).toEqual(one('temperature', 5))
    expect(auto(Buffer.from('4002f401', 'hex'))).toEqual(one('temperature', 5))
    expect(auto('D2FC4002F401')).toEqual(one('temperature', 5))
    expect(auto(Buffer.from('5002f401', 'hex'))).toEqual(refused('notUtf8')) // a reserved bit is set
    expect(auto('0201060516D2FC4002F401')).toEqual(refused('nothingRecognised')) // the element ends before the value
    expect(auto('0201060716D2FC4002F401')).toEqual(one('temperature', 5))
    expect(auto('\n {"temp": 5}')).toEqual(one('temperature', 5))
  })

  it('asks for the key of encrypted BTHome', () => {
    expect(auto(Buffer.from('d2fc41e445f3c9962b332211006c7c4519', 'hex'))).toEqual(refused('keyMissing'))
  })

  it('takes a bare number only where the topic says what it measures', () => {
    expect(auto('5.1')).toEqual(refused('nothingRecognised'))
    expect(auto('5.1', 'temperature')).toEqual(one('temperature', 5.1))
    expect(auto('40', 'humidity')).toEqual(one('humidity', 40))
    expect(auto('4002', 'temperature')).toEqual(refused('outOfBounds'))
    expect(auto('open', 'door')).toEqual(one('door', 1))
    expect(auto('online', 'temperature')).toEqual(refused('noNumber'))
    expect(auto('online')).toEqual(refused('nothingRecognised'))
    expect(auto('ABBA')).toEqual(refused('nothingRecognised'))
  })

  it.each([
    ['cellar/fridge/temperature', 'temperature'],
    ['cellar/temp/fridge', 'temperature'],
    ['cellar/temp/humidity', 'humidity'],
    ['temperature', 'temperature'],
    ['temperature/cellar/fridge', null],
    ['cellar/fridge/Temp_1', 'temperature'],
    ['cellar/fridge/door', 'door'],
    ['cellar/fridge', null],
    ['cellar/template', null],
    ['', null],
    ['a/__proto__', null],
    ['a/constructor', null],
  ])('takes from the last two levels of %j the hint %s', (topic, hint) => {
    expect(hintOf(topic)).toBe(hint)
  })
})
