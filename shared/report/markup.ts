/** Text that is markup already: everything that came from people has been escaped. */
export interface Markup {
  readonly markup: string
}

type Part = string | number | Markup | readonly Part[] | null | false

/** Markup with its parts put in; text and numbers are escaped, markup is not, null and false are nothing. */
export function html(texts: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  return { markup: texts.map((text, i) => text + textOf(parts[i] ?? null)).join('') }
}

function textOf(part: Part): string {
  if (part === null || part === false) return ''
  if (typeof part === 'string') return escaped(part)
  if (typeof part === 'number') return String(part)
  return 'markup' in part ? part.markup : part.map(textOf).join('')
}

const escaped = (text: string): string =>
  text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')
