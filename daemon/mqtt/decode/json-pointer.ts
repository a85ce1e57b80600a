/** The reference tokens of an RFC 6901 JSON Pointer, unescaped; null when it is not one. Empty points at the whole. */
export function parsePointer(pointer: string): readonly string[] | null {
  if (pointer === '') return []
  if (!pointer.startsWith('/') || /~(?![01])/.test(pointer)) return null
  return pointer.slice(1).split('/').map(unescape)
}

/** What the tokens lead to, `undefined` when they lead nowhere. Own members only: never a prototype's. */
export function resolvePointer(document: unknown, tokens: readonly string[]): unknown {
  let here = document
  for (const token of tokens) {
    if (Array.isArray(here)) {
      // RFC 6901 §4: no leading zero; `-` is the element after the last, which does not exist
      if (!/^(?:0|[1-9]\d*)$/.test(token)) return undefined
      here = here[Number(token)] as unknown
    } else if (typeof here === 'object' && here !== null && Object.hasOwn(here, token)) {
      here = (here as Record<string, unknown>)[token]
    } else return undefined
  }
  return here
}

/** `~1` first, then `~0`, so that `~01` is the key `~1` (RFC 6901 §4). */
const unescape = (token: string): string =>
  token.includes('~') ? token.replaceAll('~1', '/').replaceAll('~0', '~') : token
