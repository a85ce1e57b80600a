import { crc32, deflateRawSync, inflateRawSync } from 'node:zlib'
import { good, makeRows, type Rows } from './rows.ts'
import { ByteReader, ByteWriter } from './varint.ts'

/**
 * Packs one block of readings. Layout: 1 byte form (0 plain, 1 deflated), 4 bytes CRC-32 of the plain body, body.
 * Body: count; first instant and the changes of the step between instants; the scale; values as differences of whole
 * numbers of 1/scale, or as raw doubles when no scale fits all of them; then each quality that is not good.
 * Lossless for every finite double but one: −0 becomes 0.
 */
export function encodeBlock(rows: Rows): Buffer {
  const body = bodyOf(rows)
  const packed = deflateRawSync(body)
  const isSmaller = packed.length < body.length
  const head = Buffer.alloc(headBytes)
  head[0] = isSmaller ? deflated : plain
  head.writeUInt32LE(crc32(body), 1)
  return Buffer.concat([head, isSmaller ? packed : body])
}

/** Unpacks what `encodeBlock` made; throws when a byte of it has changed. */
export function decodeBlock(data: Uint8Array): Rows {
  const block = Buffer.from(data.buffer, data.byteOffset, data.byteLength)
  if (block.length < headBytes || (block[0] as number) > deflated) throw new Error('not a block of readings')
  const rest = block.subarray(headBytes)
  const body = block[0] === deflated ? inflateRawSync(rest) : rest
  if (crc32(body) !== block.readUInt32LE(1))
    throw new Error('block of readings has changed since it was written')
  return rowsOf(new ByteReader(body))
}

const headBytes = 5
const plain = 0
const deflated = 1

/** What sensors count in: whole units, decimals, sixteenths (12-bit converters), 1/128 and 1/256. Position is stored. */
const scales = [1, 10, 16, 100, 128, 256, 1000, 10_000, 100_000, 1_000_000] as const
const rawDoubles = 255
/** Whole numbers beyond this could lose their last bit once differenced and folded to positive ones. */
const largestWhole = 2 ** 50

function bodyOf(rows: Rows): Buffer {
  const n = rows.length
  const out = new ByteWriter(32 + n * 24) // at most 8 + 8 + (7 + 1) bytes a row
  out.whole(n)
  writeInstants(out, rows)
  const scale = scaleOf(rows)
  out.byte(scale)
  if (scale === rawDoubles) for (let i = 0; i < n; i++) out.double(rows.value[i] as number)
  else writeWholes(out, rows, scales[scale] as number)
  writeQualities(out, rows)
  return out.bytes()
}

function rowsOf(body: ByteReader): Rows {
  const rows = makeRows(body.whole())
  const n = rows.length
  let at = 0
  let step = 0
  for (let i = 0; i < n; i++) {
    if (i === 0) at = body.whole()
    else at += step += body.signed()
    rows.at[i] = at
  }
  const scale = body.byte()
  if (scale === rawDoubles) for (let i = 0; i < n; i++) rows.value[i] = body.double()
  else readWholes(body, rows, scales[scale] as number)
  let index = 0
  for (let left = body.whole(); left > 0; left--) {
    index += body.whole()
    rows.quality[index] = body.byte()
  }
  return rows
}

function writeInstants(out: ByteWriter, { at, length }: Rows): void {
  if (length > 0) out.whole(at[0] as number)
  let step = 0
  for (let i = 1; i < length; i++) {
    const next = (at[i] as number) - (at[i - 1] as number)
    out.signed(next - step)
    step = next
  }
}

function writeWholes(out: ByteWriter, { value, length }: Rows, scale: number): void {
  let last = 0
  for (let i = 0; i < length; i++) {
    const whole = Math.round((value[i] as number) * scale)
    out.signed(whole - last)
    last = whole
  }
}

function readWholes(body: ByteReader, { value, length }: Rows, scale: number): void {
  let whole = 0
  for (let i = 0; i < length; i++) {
    whole += body.signed()
    value[i] = whole / scale
  }
}

function writeQualities(out: ByteWriter, { quality, length }: Rows): void {
  let bad = 0
  for (let i = 0; i < length; i++) if (quality[i] !== good) bad++
  out.whole(bad)
  let last = 0
  for (let i = 0; i < length; i++) {
    if (quality[i] === good) continue
    out.whole(i - last)
    out.byte(quality[i] as number)
    last = i
  }
}

/** Position of the smallest scale that gives back every value to the bit; `rawDoubles` when there is none. */
function scaleOf({ value, length }: Rows): number {
  const fits = (scale: number): boolean => {
    for (let i = 0; i < length; i++) {
      const number = value[i] as number
      const whole = Math.round(number * scale)
      if (Math.abs(whole) > largestWhole || whole / scale !== number) return false
    }
    return true
  }
  const position = scales.findIndex(fits)
  return position === -1 ? rawDoubles : position
}
