import { deflateRawSync, inflateRawSync } from 'node:zlib'
import { ByteReader, ByteWriter } from './varint.ts'

/** Fewer bytes than this are not made shorter by deflating them, only later. */
const worthDeflating = 64
const plain = 0
const deflated = 1

/** Packs ascending instants of one hour: the first, then how each step differs from the one before. */
export function packTimes(at: readonly number[]): Buffer {
  const out = new ByteWriter(16 + at.length * 8)
  out.whole(at.length)
  let last = 0
  let step = 0
  for (const [i, one] of at.entries()) {
    if (i === 0) out.whole(one)
    else {
      out.signed(one - last - step)
      step = one - last
    }
    last = one
  }
  const body = out.bytes()
  const isLong = body.length >= worthDeflating
  return Buffer.concat([Buffer.of(isLong ? deflated : plain), isLong ? deflateRawSync(body) : body])
}

/** Unpacks what `packTimes` made. */
export function unpackTimes(data: Uint8Array): number[] {
  const rest = Buffer.from(data.buffer, data.byteOffset + 1, data.byteLength - 1)
  const body = new ByteReader(data[0] === deflated ? inflateRawSync(rest) : rest)
  const count = body.whole()
  const at: number[] = []
  let step = 0
  for (let i = 0; i < count; i++) {
    if (i === 0) at.push(body.whole())
    else {
      step += body.signed()
      at.push((at[i - 1] as number) + step)
    }
  }
  return at
}
