import type { Reading } from '../../schemas/reading.ts'
import type { TruthLine } from '../../schemas/scenario.ts'

/** First line of a readings file (RFC 4180). */
export const readingsHeader = 'at,sensor,quantity,value\r\n'

/** One line of a readings file. No field needs quotes: ids are slugs, the rest are fixed words and numbers. */
export function readingLine({ at, sensor, quantity, value }: Reading): string {
  return `${new Date(at).toISOString()},${sensor},${quantity},${value}\r\n`
}

export const truthLine = (line: TruthLine): string => `${JSON.stringify(line)}\n`
