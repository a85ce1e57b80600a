import { decode, Tokenizer, Type, type DecodeOptions, type TagDecoder, type Token } from 'cborg'
import type { Refusal } from '../../../schemas/source.ts'
import type { Instant } from '../../../schemas/units.ts'
import { MAX_DEPTH } from './bounded-json.ts'
import { refused, taken, type Decoded, type Step } from './decoded.ts'
import { senmlValues } from './senml-values.ts'

/** application/senml+cbor (RFC 8428 §6). `now` null: the message is retained, so nothing in it is relative to now. */
export function decodeSenmlCbor(payload: Uint8Array, now: Instant | null): Decoded {
  const pack = packOf(payload)
  return pack.ok ? senmlValues(pack.value, now) : pack
}

/** The pack with text labels, as its JSON form would have them. */
export function packOf(payload: Uint8Array): Step<unknown> {
  let items: unknown
  try {
    items = decode(payload, { ...options, tokenizer: new BoundedTokenizer(payload, options) })
  } catch (cause) {
    return refused(cause instanceof Bound ? cause.refusal : 'notCbor') // cborg throws for malformed input only
  }
  if (!Array.isArray(items)) return refused('notSenml')
  const records: unknown[] = []
  for (const item of items as readonly unknown[]) {
    if (!(item instanceof Map)) return refused('notSenml')
    const record = labelled(item)
    if (record === null) return refused('notSenml')
    records.push(record)
  }
  return taken(records)
}

/** RFC 8428 Table 4. It is conclusive: any later label is text. */
const labels: ReadonlyMap<unknown, string> = new Map<unknown, string>([
  [-1, 'bver'],
  [-2, 'bn'],
  [-3, 'bt'],
  [-4, 'bu'],
  [-5, 'bv'],
  [-6, 'bs'],
  [0, 'n'],
  [1, 'u'],
  [2, 'v'],
  [3, 'vs'],
  [4, 'vb'],
  [5, 's'],
  [6, 't'],
  [7, 'ut'],
  [8, 'vd'],
])

/** Null when one label is there twice, as a number and as text. */
function labelled(item: ReadonlyMap<unknown, unknown>): Record<string, unknown> | null {
  const record = Object.create(null) as Record<string, unknown>
  for (const [key, value] of item) {
    const label = labels.get(key) ?? (typeof key === 'string' ? key : null)
    if (label === null) continue
    if (label in record) return null
    record[label] = value
  }
  return record
}

/** RFC 8428 §6: numbers may be decimal fractions, tag 4: [exponent, mantissa] (RFC 8949 §3.4.4). */
const decimalFraction: TagDecoder = (content) => {
  const pair = content()
  if (!Array.isArray(pair) || pair.length !== 2) throw new Error('a decimal fraction is not a pair')
  const [exponent, mantissa] = pair as readonly unknown[]
  if (!Number.isInteger(exponent) || !Number.isInteger(mantissa))
    throw new Error('a decimal fraction is not whole')
  return Number(`${String(mantissa)}e${String(exponent)}`)
}

/** Maps keep integer keys apart from text; big integers come as `bigint`, which no label takes. */
const options: DecodeOptions = {
  allowBigInt: true,
  allowIndefinite: true,
  allowUndefined: false,
  useMaps: true,
  rejectDuplicateMapKeys: true,
  tags: { 4: decimalFraction },
}

class Bound extends Error {
  readonly refusal: Refusal
  constructor(refusal: Refusal) {
    super(refusal)
    this.refusal = refusal
  }
}

/**
 * Counts how deep each item lies before cborg descends into it, and refuses text that is not UTF-8, which cborg would
 * patch with U+FFFD. Declared lengths need no bound: cborg reads on only while there are bytes.
 */
class BoundedTokenizer extends Tokenizer {
  /** For each open array, map or tag, how many items it still waits for. */
  readonly #waiting: number[] = []

  override next(): Token {
    const token = super.next()
    const { type } = token
    const waiting = this.#waiting
    if (Type.equals(type, Type.break)) waiting.pop()
    else if (waiting.length > 0) waiting[waiting.length - 1]!--
    if (!type.terminal) {
      const items = Type.equals(type, Type.tag)
        ? 1
        : Number(token.value) * (Type.equals(type, Type.map) ? 2 : 1)
      waiting.push(items)
      if (waiting.length > MAX_DEPTH) throw new Bound('tooDeep')
    } else if (Type.equals(type, Type.string) && String(token.value).includes('\ufffd'))
      throw new Bound('notUtf8')
    while (waiting.length > 0 && waiting[waiting.length - 1]! <= 0) waiting.pop()
    return token
  }
}
