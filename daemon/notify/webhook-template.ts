import type { Parcel } from '../../schemas/outbox.ts'

/** What a template may hold, as `{{name}}`. What a message does not have is empty. */
const placeholders = ['title', 'text', 'priority', 'link', 'acknowledgeLink', 'key', 'alarm'] as const
type Placeholder = (typeof placeholders)[number]
type Values = Readonly<Record<Placeholder, string>>

/** 64 KiB: no gateway for short messages takes more, and a template that repeats the text could ask for megabytes. */
const webhookBodyLimit = 65_536

/**
 * What is wrong with a template, one sentence each; empty for a good one. The content type decides how values are
 * written: JSON (also `…+json`) inside strings, forms (`application/x-www-form-urlencoded`) percent-encoded, `text/plain`
 * as they are. Any other type is refused: nobody has said how to write a value there.
 */
export function templateMistakes(template: string, contentType: string): string[] {
  const syntax = syntaxOf(contentType)
  if (syntax === null)
    return ['The content type must be JSON, application/x-www-form-urlencoded or text/plain, in UTF-8.']
  const names = [...template.matchAll(placeholder)].map(([, name]) => name ?? '')
  const unknown = [...new Set(names.filter((name) => !isPlaceholder(name)))]
  const mistakes = unknown.map((name) => `There is no placeholder {{${name.slice(0, 40)}}}.`)
  if (template.replace(placeholder, '').includes('{{'))
    mistakes.push('A placeholder is opened with {{ and not closed.')
  if (mistakes.length > 0) return mistakes
  if (syntax === 'json' && !isJson(filled(template, syntax, trying)))
    return ['The template is not JSON once it is filled: each {{placeholder}} belongs inside double quotes.']
  if (longest.some((values) => Buffer.byteLength(filled(template, syntax, values)) > webhookBodyLimit))
    return ['The template repeats the message so often that it would pass 64 KiB.']
  return []
}

/** The body to send. Throws for a template that has mistakes. */
export function fillTemplate(template: string, contentType: string, parcel: Parcel): string {
  const syntax = syntaxOf(contentType)
  if (syntax === null || templateMistakes(template, contentType).length > 0)
    throw new Error('A template with mistakes was to be filled.')
  const { title, text, priority, link, acknowledgeLink } = parcel.message
  const values = { title, text, priority, link: link ?? '', acknowledgeLink: acknowledgeLink ?? '' }
  return filled(template, syntax, { ...values, key: parcel.key, alarm: parcel.alarm ?? '' })
}

/** As it goes into the header: text/plain without a charset is US-ASCII to a strict reader (RFC 2046 §4.1.2). */
export const sentContentType = (contentType: string): string =>
  syntaxOf(contentType) === 'plain' && !/;\s*charset=/i.test(contentType)
    ? `${contentType}; charset=utf-8`
    : contentType

type Syntax = 'json' | 'form' | 'plain'

function syntaxOf(contentType: string): Syntax | null {
  const [type = '', ...parameters] = contentType
    .toLowerCase()
    .split(';')
    .map((part) => part.trim())
  if (!/^[\x20-\x7E]+$/.test(contentType)) return null
  if (parameters.some((part) => part.startsWith('charset=') && !/^charset="?utf-8"?$/.test(part))) return null
  if (type === 'application/json' || /^application\/[\w.-]+\+json$/.test(type)) return 'json'
  if (type === 'application/x-www-form-urlencoded') return 'form'
  return type === 'text/plain' ? 'plain' : null
}

const placeholder = /\{\{\s*([^{}]*?)\s*\}\}/g

const isPlaceholder = (name: string): name is Placeholder =>
  (placeholders as readonly string[]).includes(name)

const filled = (template: string, syntax: Syntax, values: Values): string =>
  template.replace(placeholder, (_whole, name: Placeholder) => written(values[name], syntax))

function written(value: string, syntax: Syntax): string {
  if (syntax === 'json') return JSON.stringify(value).slice(1, -1)
  if (syntax === 'form') return new URLSearchParams([['', value]]).toString().slice(1)
  return value
}

function isJson(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

const everyPlaceholder = (value: (name: Placeholder) => string): Values =>
  Object.fromEntries(placeholders.map((name) => [name, value(name)])) as Values

/** Breaks any JSON in which a placeholder stands outside a string or behind a lone backslash. */
const trying = everyPlaceholder(() => 'a "b" \\ \n c')

/** The most characters that a message's schema lets pass. */
const lengths: Readonly<Record<Placeholder, number>> = {
  title: 120,
  text: 2000,
  priority: 6,
  link: 1000,
  acknowledgeLink: 1000,
  key: 200,
  alarm: 160,
}
/** Of the characters that are longest once written: in a form 9 bytes, in JSON 6. */
const longest = ['\u2400', '\u0001'].map((character) =>
  everyPlaceholder((name) => character.repeat(lengths[name])),
)
