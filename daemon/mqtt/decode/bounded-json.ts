import { refused, taken, type Step } from './decoded.ts'

/** Levels of arrays and objects: a SenML pack has two, the deepest pointer that makes sense a few more (X3). */
export const MAX_DEPTH = 8

/** The payload as text: strict UTF-8, a leading byte order mark dropped. */
export function textOf(payload: Uint8Array): Step<string> {
  try {
    return taken(utf8.decode(payload))
  } catch {
    return refused('notUtf8') // `decode` throws for this reason only
  }
}

/** The payload as JSON, its depth counted before it is parsed. */
export function jsonOf(payload: Uint8Array): Step<unknown> {
  const text = textOf(payload)
  if (!text.ok) return text
  if (isTooDeep(payload)) return refused('tooDeep')
  try {
    return taken<unknown>(JSON.parse(text.value))
  } catch {
    return refused('notJson') // `parse` throws for this reason only
  }
}

const utf8 = new TextDecoder('utf-8', { fatal: true })

const QUOTE = 0x22
const BACKSLASH = 0x5c
const OPEN_ARRAY = 0x5b
const CLOSE_ARRAY = 0x5d
const OPEN_OBJECT = 0x7b
const CLOSE_OBJECT = 0x7d

/** On the bytes: in UTF-8 none of these marks is ever part of another character (RFC 3629 §3). */
function isTooDeep(bytes: Uint8Array): boolean {
  let depth = 0
  let isInString = false
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i]
    if (isInString) {
      if (byte === BACKSLASH) i++
      else if (byte === QUOTE) isInString = false
    } else if (byte === QUOTE) isInString = true
    else if (byte === OPEN_ARRAY || byte === OPEN_OBJECT) {
      if (++depth > MAX_DEPTH) return true
    } else if (byte === CLOSE_ARRAY || byte === CLOSE_OBJECT) depth--
  }
  return false
}
