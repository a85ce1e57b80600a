/**
 * The longest beginning of `text` that fits, with an ellipsis where something was cut; empty where not one character
 * fits. Cut between characters: never inside a surrogate pair. `fits` must not turn true again for a longer text.
 */
export function cutToFit(text: string, fits: (text: string) => boolean): string {
  if (fits(text)) return text
  let low = 0
  let high = text.length - 1
  while (low < high) {
    const middle = Math.ceil((low + high) / 2)
    if (fits(cutAt(text, middle))) low = middle
    else high = middle - 1
  }
  const cut = cutAt(text, low)
  return fits(cut) ? cut : ''
}

/** Length in bytes of UTF-8. */
export const byteLength = (text: string): number => Buffer.byteLength(text, 'utf8')

function cutAt(text: string, end: number): string {
  const isInPair = /[\uD800-\uDBFF]/.test(text.charAt(end - 1)) && /[\uDC00-\uDFFF]/.test(text.charAt(end))
  const kept = text.slice(0, isInPair ? end - 1 : end).trimEnd()
  return kept === '' ? '' : `${kept}…`
}
