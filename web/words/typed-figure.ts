import { celsiusOf, fahrenheit, fahrenheitApart, inReadersDigits, reader } from '../../shared/words/reader.ts'
import { signedDecimalOf } from '../diary/decimal.ts'

/** What a typed number measures: a temperature and a difference are typed in the reader's units. */
export type Measures = 'temperature' | 'difference' | 'plain'

/** So many digits of °C that two digits typed in °F come back as they were typed: 0.00005 K are 0.00009 °F. */
const keptDigits = 4
const shownDigits = 2

/** In a label: `°C`, `°F`, `K`; a difference in °F has no unit of its own. */
export const unitTyped = (measures: 'temperature' | 'difference'): string =>
  reader().units === 'fahrenheit' ? '°F' : measures === 'temperature' ? '°C' : 'K'

/** What stands in the field for a stored number (`-0.5`, °C or K), which may be empty. */
export function typedOf(stored: string, measures: Measures): string {
  if (stored.trim() === '' || !Number.isFinite(Number(stored))) return ''
  const value = Number(stored)
  if (measures === 'plain') return inReadersDigits(stored).replace('−', '-')
  const shown = isFahrenheit()
    ? measures === 'temperature'
      ? fahrenheit(value)
      : fahrenheitApart(value)
    : value
  return inReadersDigits(String(rounded(shown, shownDigits))).replace('−', '-')
}

/** The number to store for what was typed; empty where it is none. */
export function storedOf(typed: string, measures: Measures): string {
  const value = signedDecimalOf(typed)
  if (value === null) return ''
  if (measures === 'plain' || !isFahrenheit()) return String(value)
  return String(rounded(measures === 'temperature' ? celsiusOf(value) : value / 1.8, keptDigits))
}

const isFahrenheit = (): boolean => reader().units === 'fahrenheit'

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits)) || 0 // no −0
