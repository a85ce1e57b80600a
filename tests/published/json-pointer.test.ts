import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parsePointer, resolvePointer } from '../../daemon/mqtt/decode/json-pointer.ts'
import { JsonPointer } from '../../schemas/sensor.ts'

/** RFC 6901 §5, from memory. */
const document: unknown = JSON.parse(
  String.raw`{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\j":5,"k\"l":6," ":7,"m~n":8}`,
)

const at = (pointer: string, within: unknown = document): unknown => {
  const tokens = parsePointer(pointer)
  if (tokens === null) throw new Error(`not a pointer: ${pointer}`)
  return resolvePointer(within, tokens)
}

describe('JSON Pointer (RFC 6901)', () => {
  it.each([
    ['', document],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    ['/i\\j', 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ])('%j leads to the published value (RFC 6901 §5, values from memory)', (pointer, value) => {
    expect(at(pointer)).toEqual(value)
  })

  it('unescapes ~1 before ~0, so that ~01 is the key ~1 (RFC 6901 §4, from memory)', () => {
    expect(at('/~01', { '~1': 'tilde one', '/': 'slash' })).toBe('tilde one')
  })

  it.each(['/foo/01', '/foo/-', '/foo/2', '/foo/-1', '/foo/1.0', '/foo/length', '/foo/', '/bar', '/foo/0/0'])(
    '%j leads nowhere (RFC 6901 §4, from memory)',
    (pointer) => {
      expect(at(pointer)).toBeUndefined()
    },
  )

  it.each(['foo', '#/foo', '/~2', '/~', '/a~', ' /foo'])(
    '%j is no pointer (RFC 6901 §3, from memory)',
    (pointer) => {
      expect(parsePointer(pointer)).toBeNull()
      expect(JsonPointer.safeParse(pointer).success).toBe(false)
    },
  )

  it.each(['/__proto__', '/constructor', '/toString', '/foo/constructor'])(
    '%j never reaches a prototype',
    (pointer) => {
      expect(at(pointer)).toBeUndefined()
    },
  )

  it('finds every member of any object again by its escaped key', () => {
    const anyKey = fc.oneof(fc.string(), fc.stringMatching(/^[~/01]{0,6}$/))
    fc.assert(
      fc.property(anyKey, anyKey, fc.integer(), (outer, inner, value) => {
        const escape = (key: string) => key.replaceAll('~', '~0').replaceAll('/', '~1')
        const nested = Object.fromEntries([[outer, Object.fromEntries([[inner, value]])]])
        expect(at(`/${escape(outer)}/${escape(inner)}`, nested)).toBe(value)
      }),
    )
  })
})
