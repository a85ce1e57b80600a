/** How the bytes of a table stand for letters. Labels of the Encoding Standard (WHATWG). */
export type Encoding = 'utf-8' | 'windows-1252' | 'utf-16le' | 'utf-16be'

/**
 * The encoding of a table by its first bytes. A byte order mark says it; without one, UTF-16 shows by its zero bytes
 * (digits and separators are ASCII), and bytes that are no UTF-8 are those of old spreadsheets on Windows.
 */
export function guessEncoding(head: Uint8Array): Encoding {
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le'
  if (head[0] === 0xfe && head[1] === 0xff) return 'utf-16be'
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) return 'utf-8'
  const [even, odd] = zerosOf(head)
  if (odd > head.length / mostly) return 'utf-16le'
  if (even > head.length / mostly) return 'utf-16be'
  return isUtf8(head) ? 'utf-8' : 'windows-1252'
}

/** Of UTF-16, half of the bytes are zero where all is ASCII; a quarter still is where a heading is not. */
const mostly = 4

function zerosOf(bytes: Uint8Array): [even: number, odd: number] {
  let even = 0
  let odd = 0
  for (let i = 0; i < bytes.length; i++) {
    if (bytes[i] !== 0) continue
    if (i % 2 === 0) even++
    else odd++
  }
  return [even, odd]
}

/** The head may end in the middle of a letter: `stream` keeps its bytes back and does not call them wrong. */
function isUtf8(head: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true })
    return true
  } catch {
    return false
  }
}
