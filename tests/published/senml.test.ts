import { describe, expect, it } from 'vitest'
import { decode } from '../../daemon/mqtt/decode/decode.ts'
import { packOf } from '../../daemon/mqtt/decode/senml-cbor.ts'
import { resolveSenml, type ResolvedRecord } from '../../daemon/mqtt/decode/senml.ts'
import { instant } from '../../schemas/amounts.ts'

const now = instant(Date.UTC(2026, 0, 15, 3, 0, 0))

/** RFC 8428 §5.1.2, the example with voltage and six currents. */
const voltageAndCurrents = `[
  {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},
  {"n":"current","t":-5,"v":1.2},
  {"n":"current","t":-4,"v":1.3},
  {"n":"current","t":-3,"v":1.4},
  {"n":"current","t":-2,"v":1.5},
  {"n":"current","t":-1,"v":1.6},
  {"n":"current","v":1.7}
]`

/** RFC 8428 §6, the same pack in CBOR: integer labels, doubles, one half-precision float. */
const voltageAndCurrentsInCbor = Buffer.from(
  '87a721781b75726e3a6465763a6f773a3130653230373361303130383030363a22fb41d303a15b00106223614120050067' +
    '766f6c7461676501615602fb405e066666666666a3006763757272656e74062402fb3ff3333333333333a3006763757272' +
    '656e74062302fb3ff4cccccccccccda3006763757272656e74062202fb3ff6666666666666a3006763757272656e740621' +
    '02f93e00a3006763757272656e74062002fb3ff999999999999aa3006763757272656e74060002fb3ffb333333333333',
  'hex',
)

const currentName = 'urn:dev:ow:10e2073a0108006:current'
const resolvedPack = [
  [currentName, 'A', 1_276_020_071_001, 1.2],
  [currentName, 'A', 1_276_020_072_001, 1.3],
  [currentName, 'A', 1_276_020_073_001, 1.4],
  [currentName, 'A', 1_276_020_074_001, 1.5],
  [currentName, 'A', 1_276_020_075_001, 1.6],
  ['urn:dev:ow:10e2073a0108006:voltage', 'V', 1_276_020_076_001, 120.1],
  [currentName, 'A', 1_276_020_076_001, 1.7],
]

function resolved(pack: unknown, at = now): readonly ResolvedRecord[] {
  const outcome = resolveSenml(pack, at)
  if (!outcome.ok) throw new Error(`refused: ${outcome.refusal}`)
  return outcome.value
}

const row = ({ name, unit, at, number }: ResolvedRecord) => [name, unit, at, number]
const refusalOf = (pack: unknown) => {
  const outcome = resolveSenml(pack, now)
  return outcome.ok ? 'taken' : outcome.refusal
}

describe('SenML resolution (RFC 8428 §4.6)', () => {
  it('gives every resolved record of the published pack its name, unit, time and value, in order of time (RFC 8428 §5.1.2)', () => {
    const records = resolved(JSON.parse(voltageAndCurrents))
    expect(records.map(row)).toEqual(resolvedPack)
    expect(records.map((record) => record.version)).toEqual(Array(7).fill(5))
    expect(new Date(records[6]!.at!).toISOString()).toBe('2010-06-08T18:01:16.001Z')
  })

  it('resolves the CBOR form of the pack to the same records (RFC 8428 §6, labels of Table 4)', () => {
    const pack = packOf(voltageAndCurrentsInCbor)
    expect(pack.ok && resolved(pack.value).map(row)).toEqual(resolvedPack)
  })

  it('takes a single record without a time to be measured now (RFC 8428 §5.1.1, value from memory)', () => {
    const [record] = resolved([{ n: 'urn:dev:ow:10e2073a01080063', u: 'Cel', v: 23.1 }])
    expect(row(record!)).toEqual(['urn:dev:ow:10e2073a01080063', 'Cel', now, 23.1])
    expect(record!.hasOwnTime).toBe(false)
  })

  it('puts the base name before each name, and a unit of its own before the base unit (RFC 8428 §5.1.2)', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063:', n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', u: 'A', v: 1.2 },
    ]
    expect(resolved(pack).map(row)).toEqual([
      ['urn:dev:ow:10e2073a01080063:voltage', 'V', now, 120.1],
      ['urn:dev:ow:10e2073a01080063:current', 'A', now, 1.2],
    ])
  })

  it.each([
    [268_435_455, now + 268_435_455_000, 'relative to now'],
    [268_435_456, Date.parse('1978-07-04T21:24:16Z'), 'seconds since 1970'],
    [-5, now - 5000, 'five seconds ago'],
    [0, now, 'now'],
  ])('reads a time of %d as %d: %s (RFC 8428 §4.5.3, 2^28; calculated)', (t, at) => {
    expect(resolved([{ n: 'a', t, v: 1 }])[0]!.at).toBe(at)
  })

  it('adds base time to time before it asks whether the sum is relative (RFC 8428 §4.5.3)', () => {
    expect(resolved([{ n: 'a', bt: 268_435_450, t: 5, v: 1 }])[0]!.at).toBe(now + 268_435_455_000)
    expect(resolved([{ n: 'a', bt: 268_435_450, t: 6, v: 1 }])[0]!.at).toBe(268_435_456_000)
  })

  it('holds each base field from its record onward until it is changed (RFC 8428 §4.1, value from memory)', () => {
    const pack = [
      { n: 'a', v: 1 },
      { bn: 'x:', bu: 'Cel', bv: 10, bs: 100, n: 'a', v: 1, s: 1 },
      { n: 'b', v: 2, s: 2 },
      { bn: 'y:', bv: 0, n: 'a', u: 'K', v: 3 },
      { n: 'b', bs: 0, s: 4 },
    ]
    const records = resolved(pack)
    expect(records.map((record) => [record.name, record.unit, record.number, record.sum])).toEqual([
      ['a', null, 1, null],
      ['x:a', 'Cel', 11, 101],
      ['x:b', 'Cel', 12, 102],
      ['y:a', 'K', 3, 100],
      ['y:b', 'Cel', null, 4],
    ])
  })

  it.each([
    ['a number and a text', [{ n: 'a', v: 1, vs: 'x' }], 'noValue'],
    ['a number and a state', [{ n: 'a', v: 1, vb: true }], 'noValue'],
    ['no value and no sum', [{ n: 'a', u: 'Cel' }], 'noValue'],
    ['a base value only', [{ n: 'a', bv: 5 }], 'noValue'],
    ['a sum only', [{ n: 'a', s: 5 }], 'taken'],
    ['data only', [{ n: 'a', vd: 'aGkgCg' }], 'taken'],
    ['a state only', [{ n: 'a', vb: false }], 'taken'],
    ['a text only', [{ n: 'a', vs: '' }], 'taken'],
  ])('wants exactly one value unless there is a sum: %s (RFC 8428 §4.2, from memory)', (_, pack, outcome) => {
    expect(refusalOf(pack)).toBe(outcome)
  })

  it('refuses the pack for an unknown label that ends in an underscore, and ignores other unknown labels (RFC 8428 §4.4, from memory)', () => {
    expect(refusalOf([{ n: 'a', v: 1, must_: 1 }])).toBe('unknownMandatoryLabel')
    expect(refusalOf([{ n: 'a', v: 1 }, JSON.parse('{"n":"b","v":1,"__proto__":1}')])).toBe(
      'unknownMandatoryLabel',
    )
    expect(refusalOf([{ n: 'a', v: 1, may: 1, _may: { deep: [] } }])).toBe('taken')
  })

  it.each([
    ['aZ09-:./_', 'taken'],
    ['9', 'taken'],
    ['-a', 'badName'],
    [':a', 'badName'],
    ['', 'badName'],
    ['a b', 'badName'],
    ['aé', 'badName'],
    ['a\u0000', 'badName'],
    ['a\n', 'badName'],
    ['a\ud800', 'badName'],
    ['a'.repeat(160), 'taken'],
    ['a'.repeat(161), 'badName'],
  ])(
    'judges the resolved name %j by its characters and its first one: %s (RFC 8428 §4.5.1, from memory)',
    (n, outcome) => {
      expect(refusalOf([{ n, v: 1 }])).toBe(outcome)
    },
  )

  it.each([
    [5, 'taken'],
    [10, 'taken'],
    [11, 'notSenml'],
    [26, 'taken'], // 10 + 2^4, secondary units: RFC 9100, from memory
    [0, 'notSenml'],
    [5.5, 'notSenml'],
    ['10', 'notSenml'],
  ])('takes version %s: %s (RFC 8428 §4.1, from memory)', (bver, outcome) => {
    expect(refusalOf([{ bver, n: 'a', v: 1 }])).toBe(outcome)
  })

  it('refuses a pack of two versions, the default counted (RFC 8428 §4.4, from memory)', () => {
    expect(
      refusalOf([
        { bver: 5, n: 'a', v: 1 },
        { bver: 6, n: 'b', v: 1 },
      ]),
    ).toBe('notSenml')
    expect(
      refusalOf([
        { n: 'a', v: 1 },
        { bver: 5, n: 'b', v: 1 },
      ]),
    ).toBe('notSenml')
    expect(
      refusalOf([
        { n: 'a', v: 1 },
        { bver: 10, n: 'b', v: 1 },
      ]),
    ).toBe('taken')
    expect(resolved([{ n: 'a', v: 1 }])[0]!.version).toBe(10)
  })

  it('keeps the promise of the next reading (RFC 8428 §4.2 "update time", from memory)', () => {
    expect(resolved([{ n: 'a', v: 1, ut: 300 }])[0]!.nextWithin).toBe(300)
  })
})

describe('SenML payloads', () => {
  it('decodes the published packs to the voltage, and passes the currents over (RFC 8428 §5.1.2, §6)', () => {
    const voltage = {
      channel: 'urn:dev:ow:10e2073a0108006',
      quantity: 'voltage',
      value: 120.1,
      at: 1_276_020_076_001,
    }
    const json = decode({ kind: 'senmlJson' }, Buffer.from(voltageAndCurrents), now)
    const cbor = decode({ kind: 'senmlCbor' }, voltageAndCurrentsInCbor, now)
    expect(json).toEqual({ ok: true, found: [voltage] })
    expect(cbor).toEqual({ ok: true, found: [voltage] })
  })

  it('gives the single published reading no time of its own (RFC 8428 §5.1.1, value from memory)', () => {
    const payload = Buffer.from('[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]')
    expect(decode({ kind: 'senmlJson' }, payload, now)).toEqual({
      ok: true,
      found: [{ channel: 'urn:dev:ow:10e2073a01080063', quantity: 'temperature', value: 23.1, at: null }],
    })
  })

  it('reads decimal fractions as numbers (RFC 8428 §6; RFC 8949 §3.4.4: C4 82 21 19 6A B3 is 273.15)', () => {
    const payload = Buffer.from('81a3006474656d7001614b02c48221196ab3', 'hex')
    expect(decode({ kind: 'senmlCbor' }, payload, now)).toEqual({
      ok: true,
      found: [{ channel: '', quantity: 'temperature', value: 0, at: null }],
    })
  })
})
