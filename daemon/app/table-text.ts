import { guessEncoding, type Encoding } from '../../shared/logger-table/encoding.ts'
import { type Row, rowCutter, type Separator } from '../../shared/logger-table/rows.ts'

/** The beginning of a table, by which its dialect is guessed: a page of preamble and some days of readings (X3). */
const headBytes = 65_536
/** Bytes that are read and understood at a stretch, about 500 rows: a few milliseconds, in which nothing is judged. */
const sliceBytes = 16_384

/** The first bytes of a table as text, to its last whole line, and how they are encoded. */
export async function headOf(
  bytes: AsyncIterable<Uint8Array>,
): Promise<{ readonly text: string; readonly encoding: Encoding }> {
  const head = new Uint8Array(headBytes)
  let length = 0
  for await (const chunk of bytes) {
    const some = chunk.subarray(0, headBytes - length)
    head.set(some, length)
    length += some.length
    if (length === headBytes) break
  }
  const whole = head.subarray(0, length)
  const encoding = guessEncoding(whole)
  const text = new TextDecoder(encoding).decode(whole, { stream: true })
  // The row that the end of the head cuts would be taken for a fault.
  const end = length < headBytes ? text.length : Math.max(text.lastIndexOf('\n'), text.lastIndexOf('\r')) + 1
  return { text: text.slice(0, end), encoding }
}

/**
 * Cuts a whole table into rows, a slice at a time with `pause` after each. `take` is given each row in order; `onRead`
 * the bytes so far, and says whether to go on.
 */
export async function readRows(
  bytes: AsyncIterable<Uint8Array>,
  { encoding, separator }: { readonly encoding: Encoding; readonly separator: Separator },
  take: (row: Row) => void,
  onRead: (bytes: number) => Promise<boolean>,
): Promise<void> {
  const decoder = new TextDecoder(encoding)
  const cutter = rowCutter(separator, take)
  let read = 0
  for await (const chunk of bytes) {
    for (let from = 0; from < chunk.length; from += sliceBytes) {
      const slice = chunk.subarray(from, from + sliceBytes)
      cutter.feed(decoder.decode(slice, { stream: true }))
      read += slice.length
      if (!(await onRead(read))) return
    }
  }
  cutter.feed(decoder.decode())
  cutter.end()
}
