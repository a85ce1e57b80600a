import { inReadersDigits } from '../words/reader.ts'

/** A number as people write it: no needless zeros, at most two decimals, a true minus sign. */
export function decimalWords(value: number): string {
  const rounded = Math.round(value * 100) / 100
  return inReadersDigits(String(rounded === 0 ? 0 : rounded))
}
