import type { ColumnGuess, TableQuantity, TableUnit } from '../../schemas/import.ts'
import { isGap, readDecimal } from './decimals.ts'
import type { Writing } from './dialect.ts'
import type { Row } from './rows.ts'
import { readClock, readTime } from './written-time.ts'

/** What each column seems to hold, by its heading and by the rows of the head. */
export function guessColumns({ headings, rows, decimal }: Writing): ColumnGuess[] {
  const kinds = headings.map((_, i) => kindOf(rows, i))
  const time = timeColumns(headings, kinds)
  const named = headings.map(quantityIn)
  const isNamed = named.some((quantity, i) => quantity === 'temperature' && kinds[i] === 'number')
  return headings.map((heading, index): ColumnGuess => {
    const nothing = { index, heading, quantity: null, unit: null }
    if (time[0] === index) return { ...nothing, role: time.length === 2 ? 'date' : 'time' }
    if (time[1] === index) return { ...nothing, role: 'clock' }
    if (kinds[index] !== 'number' || (named[index] === null && isCount(heading, rows, index)))
      return { ...nothing, role: 'other' }
    const unit = unitIn(heading) ?? unitInCells(rows, index, decimal)
    const said = named[index] ?? (unit === null ? null : unit === 'percent' ? 'humidity' : 'temperature')
    // A plain number beside the time is what such a logger is for, where no other column says so.
    const quantity = said === 'other' ? null : (said ?? (isNamed ? null : 'temperature'))
    if (quantity === null) return { ...nothing, role: 'other' }
    return { ...nothing, role: 'value', quantity, unit: fitting(quantity, unit) }
  })
}

type Kind = 'time' | 'date' | 'clock' | 'number' | 'words' | 'empty'

/** What most cells of the column are. */
function kindOf(rows: readonly Row[], i: number): Kind {
  const counts = new Map<Kind, number>()
  for (const { cells } of rows) {
    const kind = cellKind(cells[i] ?? '')
    if (kind !== 'empty') counts.set(kind, (counts.get(kind) ?? 0) + 1)
  }
  let found: Kind = 'empty'
  for (const [kind, count] of counts) if (count > (counts.get(found) ?? 0)) found = kind
  return found
}

function cellKind(cell: string): Kind {
  if (isGap(cell)) return 'empty'
  if (readDecimal(cell, 'comma') !== null) return 'number'
  if (readClock(cell) !== null) return 'clock'
  const time = readTime(cell, 'dayFirst') ?? readTime(cell, 'monthFirst')
  if (time === null) return 'words'
  return /[:T]|\d\s*[ap]\.?m/i.test(cell) ? 'time' : 'date'
}

/** The column of the time, or those of date and time of day. */
function timeColumns(headings: readonly string[], kinds: readonly Kind[]): readonly number[] {
  const whole = kinds.indexOf('time')
  if (whole !== -1) return [whole]
  const date = kinds.indexOf('date')
  const clock = kinds.indexOf('clock')
  if (date !== -1) return clock === -1 ? [date] : [date, clock]
  // Numbers since some day: the heading says so, or the first column's size does, which no temperature has.
  const said = headings.findIndex(
    (heading, i) => kinds[i] === 'number' && /time|date|unix|epoch|zeit|datum/i.test(heading),
  )
  return [said === -1 ? Math.max(0, kinds.indexOf('number')) : said]
}

function quantityIn(heading: string): TableQuantity | 'other' | null {
  if (
    /dew|frost|taupunkt|wet.?bulb|battery|batterie|volt|pressure|luftdruck|lux|co2|signal|rssi|limit|alarm/i.test(
      heading,
    )
  )
    return 'other'
  if (/temp|°\s*[cfk]|celsius|fahrenheit|kelvin/i.test(heading)) return 'temperature'
  if (/hum|feucht|\br\.?\s?[hf]\b|%/i.test(heading)) return 'humidity'
  return null
}

function unitIn(heading: string): TableUnit | null {
  if (/°\s*f\b|deg\.?\s*f\b|fahrenheit|[([_\s,]f[)\]]?$/i.test(heading)) return 'fahrenheit'
  if (/°\s*c\b|deg\.?\s*c\b|celsius|[([_\s,]c[)\]]?$/i.test(heading)) return 'celsius'
  if (/kelvin|[([]\s*K\s*[)\]]/i.test(heading)) return 'kelvin'
  return /%|\br\.?h\b/i.test(heading) ? 'percent' : null
}

function unitInCells(rows: readonly Row[], i: number, decimal: Writing['decimal']): TableUnit | null {
  for (const { cells } of rows) {
    const unit = readDecimal(cells[i] ?? '', decimal)?.unit
    if (unit !== null && unit !== undefined) return unit
  }
  return null
}

/** A unit of the other quantity says nothing; humidity has but one. */
function fitting(quantity: TableQuantity, unit: TableUnit | null): TableUnit | null {
  if (quantity === 'humidity') return 'percent'
  return unit === 'percent' ? null : unit
}

/** Whole numbers that go up by one, or a heading that says so: the number of the row. */
function isCount(heading: string, rows: readonly Row[], i: number): boolean {
  if (/^(?:#|no\.?|nr\.?|n°|num(?:ber)?|row|record|index|id|sample|messung|lfd\.?.*)$/i.test(heading))
    return true
  const numbers = rows.map(({ cells }) => Number(cells[i]))
  if (numbers.length < 3) return false
  return numbers.every((n, k) => Number.isInteger(n) && (k === 0 || n === (numbers[k - 1] as number) + 1))
}
