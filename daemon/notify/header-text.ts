import { cutToFit, byteLength } from './cut-text.ts'

/** RFC 2047 §2: an encoded word has at most 75 characters, so 45 bytes of text in base64 between `=?UTF-8?B?` and `?=`. */
const bytesInWord = 45

/**
 * Text for a header field. Printable ASCII goes as it is; anything else as encoded words of RFC 2047 (UTF-8, base64), one
 * space between them, which a reader drops. Line breaks and other control characters become spaces.
 */
export function headerText(text: string): string {
  const line = text.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  if (/^[\x20-\x7E]*$/.test(line) && !line.includes('=?')) return line
  const words: string[] = []
  let word = ''
  for (const character of wellFormed(line)) {
    if (byteLength(word + character) > bytesInWord) {
      words.push(word)
      word = ''
    }
    word += character
  }
  return [...words, word].map((part) => `=?UTF-8?B?${Buffer.from(part).toString('base64')}?=`).join(' ')
}

/** The link in ASCII (RFC 3986), or null where it is no http or https address. */
export function headerLink(link: string | null): string | null {
  if (link === null || !URL.canParse(link)) return null
  const { protocol, href } = new URL(link)
  return protocol === 'https:' || protocol === 'http:' ? href : null
}

/**
 * A parcel's key as the string of the `Idempotency-Key` header field (a structured field's string, RFC 8941 §3.3.3):
 * quoted, and what such a string cannot hold percent-encoded.
 */
export const keyHeader = (key: string): string =>
  `"${wellFormed(key).replace(/[^\x21\x23-\x24\x26-\x5B\x5D-\x7E]/gu, encodeURIComponent)}"`

/** Whether a header field may carry the value: visible ASCII, spaces and tabs inside. */
export const isHeaderValue = (value: string): boolean =>
  /^[\x21-\x7E](?:[\t\x20-\x7E]*[\x21-\x7E])?$/.test(value)

/** The body's text, cut to `limit` bytes of UTF-8. */
export const boundedText = (text: string, limit: number): string =>
  cutToFit(text, (cut) => byteLength(cut) <= limit)

/** Lone halves of surrogate pairs, which UTF-8 cannot hold, become U+FFFD. */
const wellFormed = (text: string): string => Buffer.from(text).toString()
