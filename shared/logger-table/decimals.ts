import type { TableUnit } from '../../schemas/import.ts'

export type DecimalSign = 'point' | 'comma'

/** A number as it was written: `digits` / 10^`places`, both whole. */
export interface Decimal {
  readonly digits: number
  readonly places: number
  /** A unit that stands behind it in the same cell. */
  readonly unit: TableUnit | null
}

/** More digits than this, and a whole number could lose its last one (2^53 is 9.007 · 10^15). */
const mostDigits = 15

/** What loggers and spreadsheets write where there was no value. */
const gapWord =
  /^(?:[-–—.*?_]+|n\.?\/?a\.?|nan|null|nil|none|err(?:or)?\.?|#(?:n\/a|na|nv|value!?|wert!?|num!?|ref!?|div\/0!?)|fault|fail(?:ed)?|inf|-inf|over(?:flow|range)?|under(?:range)?|o\.?l\.?|open|no ?(?:data|value|sensor|signal|probe)|missing|invalid|leer|fehlt|fehler)$/i

/** Whether a cell says that there was no value. */
export const isGap = (cell: string): boolean => cell === '' || gapWord.test(cell)

/** Null for what is no number in this writing. A sign, a decimal point or comma, an exponent, and a unit may stand with it. */
export function readDecimal(cell: string, sign: DecimalSign): Decimal | null {
  const match = (sign === 'comma' ? withComma : withPoint).exec(cell)
  if (match === null) return null
  const [, minus = '', whole = '', fraction = '', exponent = '0', unit] = match
  if (whole === '' && fraction === '') return null
  const places = fraction.length - Number(exponent)
  const written = (whole + fraction).replace(/^0+(?=\d)/, '')
  if (written.length > mostDigits || Math.abs(places) > mostDigits) return null
  const digits = Number(written) * (places < 0 ? 10 ** -places : 1)
  if (digits > Number.MAX_SAFE_INTEGER) return null
  return {
    digits: minus === '' || digits === 0 ? digits : -digits,
    places: Math.max(0, places),
    unit: unit === undefined ? null : unitOf(unit),
  }
}

/**
 * The value in the quantity's own unit, rounded once to the nearest double: what it is written as gives the same
 * digits back, and °F come back to their last digit. °C = (°F − 32) / 1.8 and K − 273.15 (NIST SP 811, appendix B).
 */
export function valueIn({ digits, places }: Decimal, unit: TableUnit): number {
  const tens = 10 ** places
  switch (unit) {
    case 'celsius':
    case 'percent':
      return digits / tens
    case 'fahrenheit':
      return ((digits - 32 * tens) * 5) / (9 * tens) + 0
    case 'kelvin': {
      const more = Math.max(0, 2 - places)
      return (digits * 10 ** more - 27_315 * 10 ** (places + more - 2)) / 10 ** (places + more)
    }
    default:
      return unit satisfies never
  }
}

const tail = String.raw`(?:[eE]([+-]?\d{1,2}))?\s*(°?\s*[CFK]|deg(?:rees?)?\s*[CFK]|[%]\s*(?:r\.?\s?h\.?|r\.?\s?f\.?)?)?$`
const withPoint = new RegExp(String.raw`^(?:\+|([-−]))?\s*(\d*)(?:\.(\d*))?${tail}`, 'i')
const withComma = new RegExp(String.raw`^(?:\+|([-−]))?\s*(\d*)(?:[,.](\d*))?${tail}`, 'i')

function unitOf(text: string): TableUnit {
  if (text.startsWith('%')) return 'percent'
  const letter = text.at(-1)?.toUpperCase()
  return letter === 'F' ? 'fahrenheit' : letter === 'K' ? 'kelvin' : 'celsius'
}
