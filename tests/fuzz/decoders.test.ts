import { encode } from 'cborg'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decode } from '../../daemon/mqtt/decode/decode.ts'
import type { Decoded } from '../../daemon/mqtt/decode/decoded.ts'
import { Decoder } from '../../schemas/sensor.ts'
import { Found, Refusal } from '../../schemas/source.ts'
import { instant } from '../../schemas/amounts.ts'

const now = instant(Date.UTC(2026, 0, 15, 3, 0, 0))

/** Payloads for each decoder (10 000 malformed payloads must be survived). */
const RUNS = 10_000

const text = (value: unknown) => Buffer.from(typeof value === 'string' ? value : JSON.stringify(value))
const hex = (digits: string) => Buffer.from(digits.replaceAll(' ', ''), 'hex')

const senmlPack = [
  { bn: 'urn:dev:mac:0123456789ab:', bt: 1_768_446_000, n: 'temperature', u: 'Cel', v: 5.06 },
  { n: 'humidity', u: '%RH', v: 88.5, t: -60 },
  { n: 'door', vb: true, ut: 300, vendor: { a: [1, { b: null }] } },
]
const cborPack = encode([
  new Map<unknown, unknown>([
    [-2, 'box:'],
    [-3, 1_768_446_000],
    [0, 'temperature'],
    [1, 'Cel'],
    [2, 5.06],
  ]),
  new Map<unknown, unknown>([
    [0, 'humidity'],
    [1, '%RH'],
    [2, 88],
    [6, -60.5],
  ]),
])
const object = {
  temperature: 5.1,
  hum: '90',
  probe1: { temp_f: 41, time: 1_768_446_000 },
  battery: 2987,
  contact: false,
}
const number = ' -5.0625e0\n'
const advertisement = hex('020106 0B094449592D73656E736F72 0A16D2FC4002C40903BF13')
const encrypted = hex('D2FC41E445F3C9962B332211006C7C4519')

/** For each decoder, valid payloads to damage. */
const decoders: readonly (readonly [name: string, decoder: Decoder, valid: readonly Uint8Array[]])[] = [
  [
    'auto',
    { kind: 'auto' },
    [text(senmlPack), cborPack, text(object), text(number), advertisement, text('D2FC4002C409')],
  ],
  ['senmlJson', { kind: 'senmlJson' }, [text(senmlPack)]],
  ['senmlCbor', { kind: 'senmlCbor' }, [cborPack]],
  [
    'json',
    Decoder.parse({
      kind: 'json',
      fields: [
        { pointer: '/temperature', quantity: 'temperature' },
        { pointer: '/probe1/temp_f', quantity: 'temperature', unit: 'fahrenheit' },
        { pointer: '/contact', quantity: 'door', unit: 'boolean' },
        { pointer: '', quantity: 'humidity' },
      ],
      at: '/probe1/time',
    }),
    [text(object)],
  ],
  ['number', { kind: 'number', quantity: 'temperature', unit: 'kelvin' }, [text(number), text('278.15')]],
  ['number at a door', { kind: 'number', quantity: 'door' }, [text('open'), text('1')]],
  ['bthome', { kind: 'bthome' }, [advertisement, text('D2FC 40 02C409 03BF13'), encrypted]],
  [
    'bthome with a key',
    { kind: 'bthome', key: '231d39c1d7cc1ab1aee224cd096db932', mac: '5448E68F80A5' },
    [encrypted, advertisement],
  ],
]

/** One change to some bytes: flip, insert, delete, repeat, cut. */
type Change = readonly [kind: number, at: number, byte: number, count: number]
const changes = fc.array(fc.tuple(fc.nat(4), fc.nat(400), fc.nat(255), fc.integer({ min: 1, max: 40 })), {
  minLength: 1,
  maxLength: 6,
})

function changed(payload: Uint8Array, list: readonly Change[]): Uint8Array {
  let bytes = [...payload]
  for (const [kind, where, byte, count] of list) {
    const at = bytes.length === 0 ? 0 : where % bytes.length
    if (kind === 0 && bytes.length > 0) bytes[at] = byte
    else if (kind === 1) bytes.splice(at, 0, byte)
    else if (kind === 2) bytes.splice(at, count)
    else if (kind === 3) bytes.splice(at, 0, ...bytes.slice(at, at + count))
    else bytes = bytes.slice(0, at)
  }
  return Uint8Array.from(bytes)
}

const nasty = fc.constantFrom(
  '__proto__',
  'constructor',
  'prototype',
  'toString',
  'hasOwnProperty',
  '',
  '\ud800',
  '\udfff\ud800',
  '\u0000',
  'n',
  'u',
  'v',
  'vs',
  'vb',
  'vd',
  't',
  's',
  'bn',
  'bt',
  'bu',
  'bv',
  'bs',
  'bver',
  'ut',
  'temperature',
  'temp2',
  'battery',
  'door',
  'time',
  'Cel',
  '%RH',
  'K',
  '/',
  'a_',
  '5.1',
  '1e999',
  '-0',
  'on',
  '٥',
)
const hugeOrOdd = fc.constantFrom(
  0,
  -0,
  1e308,
  -1e308,
  5e-324,
  2 ** 28,
  2 ** 28 - 1,
  2 ** 53,
  -(2 ** 63),
  1e11,
  4_133_980_800,
  NaN,
  Infinity,
  -Infinity,
)
const leaf = fc.oneof(nasty, hugeOrOdd, fc.double(), fc.boolean(), fc.constant(null), fc.string())
const tree = fc.letrec((tie) => ({
  node: fc.oneof(
    { maxDepth: 5, depthSize: 'small' },
    leaf,
    fc.array(tie('node'), { maxLength: 5 }),
    fc.array(fc.tuple(fc.oneof(nasty, fc.string()), tie('node')), { maxLength: 8 }).map((entries) => {
      const all = Object.create(null) as Record<string, unknown>
      for (const [key, value] of entries) all[key] = value
      return all
    }),
  ),
})).node

/** JSON of odd trees; NaN and the infinities go in as the barest words, as careless firmware writes them. */
const oddJson = tree.map((value) =>
  Buffer.from(
    JSON.stringify(value, (_, each: unknown) =>
      typeof each === 'number' && !Number.isFinite(each) ? `<${each}>` : each,
    )
      .replaceAll('"<', '')
      .replaceAll('>"', ''),
  ),
)
const oddRecords = fc
  .array(fc.array(fc.tuple(fc.oneof(nasty, fc.integer({ min: -10, max: 10 })), leaf), { maxLength: 8 }), {
    maxLength: 4,
  })
  .map((records) => encode(records.map((entries) => new Map<unknown, unknown>(entries))))

const deep = fc
  .tuple(fc.constantFrom('[', '{"a":', '[{"n":'), fc.integer({ min: 1, max: 20_000 }))
  .map(([opening, count]) => Buffer.from(opening.repeat(count).slice(0, 60_000)))
const bombs = fc
  .tuple(
    fc.constantFrom(
      '9affffffff',
      '9b7fffffffffffffff',
      '81baffffffff',
      '81a1007affffffff',
      '81a1085bffffffffffffffff',
      '9f',
      '81',
      '81a102c4',
    ),
    fc.integer({ min: 1, max: 200 }),
  )
  .map(([digits, count]) => hex(digits.repeat(count)))

/** Either at least one value, each as `Found` has it, or one named reason. */
function expectWellFormed(outcome: Decoded, payload: Uint8Array): void {
  if (outcome.ok) {
    expect(outcome.found.length, Buffer.from(payload).toString('latin1')).toBeGreaterThan(0)
    for (const one of outcome.found) {
      const checked = Found.safeParse(one)
      if (!checked.success)
        throw new Error(`${Buffer.from(payload).toString('hex')}: ${checked.error.message}`)
      if (one.channel.length > 120 || /[\p{Cc}\p{Cs}]/u.test(one.channel))
        throw new Error(`channel ${one.channel}`)
    }
  } else if (!Refusal.options.includes(outcome.refusal))
    throw new Error(`no such refusal: ${String(outcome.refusal)}`)
}

describe.each(decoders)('%s', (_, decoder, valid) => {
  const payloads = fc.oneof(
    {
      weight: 5,
      arbitrary: fc
        .tuple(fc.constantFrom(...valid), changes)
        .map(([payload, list]) => changed(payload, list)),
    },
    { weight: 2, arbitrary: fc.uint8Array({ maxLength: 120 }) },
    { weight: 2, arbitrary: oddJson },
    { weight: 1, arbitrary: oddRecords },
    { weight: 1, arbitrary: fc.string({ unit: 'binary' }).map((each) => Buffer.from(each)) },
  )

  it('takes its valid payloads', () => {
    const outcomes = valid.map((payload) => decode(decoder, payload, now, 'temperature'))
    expect(outcomes.some((outcome) => outcome.ok)).toBe(true)
    valid.forEach((payload, i) => expectWellFormed(outcomes[i]!, payload))
  })

  it(`never throws on ${RUNS} damaged and odd payloads: each is values or a named refusal (X3)`, {
    timeout: 60_000,
  }, () => {
    const seen = new Set<string>()
    fc.assert(
      fc.property(payloads, fc.boolean(), (payload, isRetained) => {
        const outcome = decode(decoder, payload, isRetained ? null : now, 'temperature')
        expectWellFormed(outcome, payload)
        seen.add(outcome.ok ? 'taken' : outcome.refusal)
      }),
      { numRuns: RUNS },
    )
    expect(seen.size).toBeGreaterThan(2) // the payloads reach more than the first check
  })

  it('never throws on deep nesting and on lengths that the payload does not have (X3)', () => {
    fc.assert(
      fc.property(fc.oneof(deep, bombs), (payload) =>
        expectWellFormed(decode(decoder, payload, now, 'door'), payload),
      ),
      { numRuns: 300 },
    )
  })

  it('never throws on a valid payload cut at any byte, nor with any one bit flipped', () => {
    for (const payload of valid) {
      for (let at = 0; at <= payload.length; at++)
        expectWellFormed(decode(decoder, payload.subarray(0, at), now), payload)
      for (let bit = 0; bit < payload.length * 8; bit++) {
        const flipped = Uint8Array.from(payload)
        flipped[bit >> 3]! ^= 1 << (bit & 7)
        expectWellFormed(decode(decoder, flipped, now, 'humidity'), flipped)
      }
    }
  })

  it('gives the same outcome for the same payload, and leaves the payload as it was', () => {
    fc.assert(
      fc.property(payloads, (payload) => {
        const before = Buffer.from(payload)
        expect(decode(decoder, payload, now)).toEqual(decode(decoder, payload, now))
        expect(Buffer.from(payload).equals(before)).toBe(true)
      }),
      { numRuns: 300 },
    )
  })
})
