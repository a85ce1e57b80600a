import { say } from '../words/say.ts'

/** What a column of a keeper's own table holds. */
export type Meaning =
  | { readonly is: 'date' | 'time' | 'animal' | 'place' | 'food' | 'eaten' | 'text' }
  | { readonly is: 'grams' | 'length' | 'width' | 'height' | 'girth'; readonly times: number }

/** `Weight (kg)`, `weight, g`, `carapace length [mm]`: null where the name is not known, a sentence where its unit is missing. */
export function meaningOf(header: string): Meaning | { readonly sentence: string } | null {
  const match = /^(.*?)[\s,]*[([]?\s*(kg|g|grams?|oz|lbs?|mm|cm|in)?\.?\s*[)\]]?$/.exec(
    header.trim().toLowerCase(),
  )
  const name = (match?.[1] ?? '').trim()
  const unit = match?.[2]
  if (unit === undefined) {
    const plain = plainNames[name]
    if (plain !== undefined) return { is: plain }
    if (masses.has(name))
      return {
        sentence: say('“{header}” does not say its unit; write for example “{name} (g)”.', { header, name }),
      }
    if (lengths[name] !== undefined)
      return {
        sentence: say('“{header}” does not say its unit; write for example “{name} (cm)”.', { header, name }),
      }
    return null
  }
  const grams = gramsIn[unit]
  if (grams !== undefined && (masses.has(name) || name === '')) return { is: 'grams', times: grams }
  const centimetres = centimetresIn[unit]
  const length = lengths[name]
  if (centimetres !== undefined && length !== undefined) return { is: length, times: centimetres }
  return null
}

const plainNames: Readonly<Record<string, Exclude<Meaning, { times: number }>['is']>> = {
  date: 'date',
  day: 'date',
  'date/time': 'date',
  'date and time': 'date',
  datetime: 'date',
  when: 'date',
  at: 'date',
  time: 'time',
  animal: 'animal',
  name: 'animal',
  'animal id': 'animal',
  place: 'place',
  food: 'food',
  fed: 'food',
  eaten: 'eaten',
  ate: 'eaten',
  note: 'text',
  notes: 'text',
  comment: 'text',
  comments: 'text',
  remark: 'text',
  remarks: 'text',
  text: 'text',
}

const masses: ReadonlySet<string> = new Set(['weight', 'mass', 'weighed', 'body weight', 'body mass'])

const lengths: Readonly<Record<string, 'length' | 'width' | 'height' | 'girth'>> = {
  length: 'length',
  'carapace length': 'length',
  'shell length': 'length',
  scl: 'length',
  svl: 'length',
  width: 'width',
  'carapace width': 'width',
  'shell width': 'width',
  height: 'height',
  'shell height': 'height',
  girth: 'girth',
}

/** NIST Special Publication 811, appendix B.8: avoirdupois ounce and pound, inch; exact. */
const gramsIn: Readonly<Record<string, number>> = {
  g: 1,
  gram: 1,
  grams: 1,
  kg: 1000,
  oz: 28.349523125,
  lb: 453.59237,
  lbs: 453.59237,
}
const centimetresIn: Readonly<Record<string, number>> = { cm: 1, mm: 0.1, in: 2.54 }
