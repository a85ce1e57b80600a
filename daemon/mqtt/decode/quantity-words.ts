import type { Quantity } from '../../../schemas/quantity.ts'
import type { WireUnit } from '../../../schemas/sensor.ts'

/** What a key, a SenML name or a topic level says of the value beside it. */
export interface Meaning {
  readonly quantity: Quantity
  readonly unit?: WireUnit
  /** The word is true when the door is shut: a contact that is made. */
  readonly isInverted?: true
}

/**
 * What a word means: case, hyphens, underscores, points and spaces do not count. `isNumbered` when only the word
 * without its trailing digits is known, as in `temp2`. Null for a word that names no quantity.
 */
export function meaningOf(word: string): { readonly meaning: Meaning; readonly isNumbered: boolean } | null {
  if (word.length > MAX_WORD_LENGTH) return null
  const plain = word.toLowerCase().replace(/[-_. ]/g, '')
  const meaning = words.get(plain)
  if (meaning) return { meaning, isNumbered: false }
  const numbered = words.get(plain.replace(/\d+$/, ''))
  return numbered ? { meaning: numbered, isNumbered: true } : null
}

/** The quantity that a topic's last two levels name, the last one first; null when neither does. */
export function hintOf(topic: string): Quantity | null {
  const levels = topic.split('/')
  for (const level of levels.slice(-2).reverse()) {
    const known = meaningOf(level)
    if (known) return known.meaning.quantity
  }
  return null
}

/** Characters: the longest word here has 21. */
const MAX_WORD_LENGTH = 40

/** Where a message says the same thing twice, the earlier word of this list counts. */
const words: ReadonlyMap<string, Meaning> = new Map<string, Meaning>([
  ...each({ quantity: 'temperature' }, 'temperature', 'temp'),
  ...each(
    { quantity: 'temperature', unit: 'celsius' },
    'temperaturec',
    'tempc',
    'temperaturecelsius',
    'celsius',
  ),
  ...each({ quantity: 'temperature', unit: 'kelvin' }, 'temperaturek', 'tempk', 'kelvin'),
  ...each({ quantity: 'temperature', unit: 'fahrenheit' }, 'temperaturef', 'tempf', 'temperaturefahrenheit'),
  ...each({ quantity: 'temperature', unit: 'fahrenheit' }, 'fahrenheit'),
  ...each({ quantity: 'humidity' }, 'humidity', 'relativehumidity', 'hum', 'rh'),
  ...each({ quantity: 'battery' }, 'battery', 'batterylevel', 'batterypercent', 'batt', 'bat'),
  ...each({ quantity: 'voltage' }, 'voltage', 'batteryvoltage', 'vbat', 'vbatt', 'volt', 'volts'),
  ...each({ quantity: 'voltage', unit: 'millivolt' }, 'voltagemv', 'batteryvoltagemv', 'vbatmv', 'batterymv'),
  ...each({ quantity: 'door' }, 'door', 'dooropen', 'open', 'isopen', 'opening'),
  ...each({ quantity: 'door', isInverted: true }, 'contact', 'closed', 'doorclosed'),
  ...each({ quantity: 'power' }, 'power', 'mains', 'powerpresent', 'mainspresent'),
])

const ranks: ReadonlyMap<Meaning, number> = new Map([...words.values()].map((meaning, i) => [meaning, i]))

/** Lower is better: which of two words for the same quantity counts. */
export const rankOf = (meaning: Meaning): number => ranks.get(meaning) ?? words.size

function each(meaning: Meaning, ...names: readonly string[]): [string, Meaning][] {
  return names.map((name) => [name, { ...meaning }])
}
