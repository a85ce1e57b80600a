import type { DecimalSign } from './decimals.ts'
import { isGap, readDecimal } from './decimals.ts'
import { type Row, rowCutter, type Separator, separators } from './rows.ts'
import { readTime } from './written-time.ts'
import { say } from '../words/say.ts'

/** How rows are to be cut and read, and where they begin. */
export interface Writing {
  readonly separator: Separator
  readonly decimal: DecimalSign
  readonly headingLine: number | null
  readonly headings: readonly string[]
  readonly firstLine: number
  /** Rows with readings from the head of the table. */
  readonly rows: readonly Row[]
}

/** Rows of the head that are looked at: enough for a preamble of a page and some days of readings. */
const rowsLookedAt = 500

/**
 * How a table is written, by the text of its head: the separator by which most rows are readings of one width, the line
 * that names the columns, and the sign of its decimals. Null where no row has a time and a number beside it.
 */
export function guessWriting(head: string): Writing | null {
  const told = /^\uFEFF?sep=(.)\r?\n/i.exec(head)?.[1]
  const tried = separators.includes(told as Separator) ? [told as Separator] : separators
  let best: { readonly score: number; readonly writing: Writing } | null = null
  for (const separator of tried) {
    const rows = rowsOf(head, separator)
    const width = usualWidth(rows)
    if (width < 2) continue
    const from = rows.findIndex((row) => row.cells.length === width && isReading(row.cells))
    const found = rows.slice(from).filter((row) => row.cells.length === width && isReading(row.cells))
    // Wider rows of the same count are cut by the true separator; a comma may be that of the decimals.
    const score = found.length * 64 + width - (separator === ',' ? 64 * commaPenalty(rows) : 0)
    if (best !== null && score <= best.score) continue
    best = { score, writing: writingOf(separator, rows, from, found) }
  }
  return best?.writing ?? null
}

/** A comma that parts figures in every row is that of their decimals where another sign parts the cells. */
const commaPenalty = (rows: readonly Row[]): number => Math.ceil(rows.length / 1000)

function writingOf(separator: Separator, rows: readonly Row[], from: number, found: readonly Row[]): Writing {
  const first = rows[from] as Row
  const heading = rows.slice(0, from).findLast((row) => isHeading(row, first.cells.length))
  return {
    separator,
    decimal: decimalIn(found),
    headingLine: heading?.line ?? null,
    headings: first.cells.map((_, i) => headingAt(heading, i)),
    firstLine: first.line,
    rows: found,
  }
}

function headingAt(heading: Row | undefined, i: number): string {
  const said = (heading?.cells[i] ?? '').replaceAll(/\s+/g, ' ').slice(0, 80)
  return said === '' ? say('Column {part}', { part: i + 1 }) : said
}

/** As wide as the rows, or short of a separator at the end; of words. */
function isHeading({ cells }: Row, width: number): boolean {
  if (cells.length !== width && cells.length !== width - 1) return false
  const words = cells.filter((cell) => /\p{L}|[%°#]/u.test(cell) && readDecimal(cell, 'comma') === null)
  return words.length >= Math.min(2, width) && !isReading(cells)
}

function rowsOf(head: string, separator: Separator): Row[] {
  const rows: Row[] = []
  const cutter = rowCutter(separator, (row) => {
    if (rows.length < rowsLookedAt) rows.push(row)
  })
  cutter.feed(head.startsWith('\uFEFF') ? head.slice(1) : head)
  cutter.end()
  return rows
}

/** The width that most rows of readings have; 0 where none has one. */
function usualWidth(rows: readonly Row[]): number {
  const counts = new Map<number, number>()
  for (const { cells } of rows)
    if (isReading(cells)) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1)
  let [width, most] = [0, 0]
  for (const [cells, count] of counts) if (count > most) [width, most] = [cells, count]
  return width
}

/** A time, and a number or a gap in another cell. */
function isReading(cells: readonly string[]): boolean {
  if (cells.length < 2) return false
  const time = cells.findIndex(isTime)
  if (time === -1) return false
  return cells.some((cell, i) => i !== time && (cell === '' || isGap(cell) || isNumber(cell)))
}

const isTime = (cell: string): boolean =>
  readTime(cell, 'dayFirst') !== null || readTime(cell, 'monthFirst') !== null

const isNumber = (cell: string): boolean => readDecimal(cell, 'comma') !== null

/** A comma between figures, in a cell of its own, says so; a point says the other. More cells win. */
function decimalIn(rows: readonly Row[]): DecimalSign {
  let balance = 0
  for (const { cells } of rows)
    for (const cell of cells) {
      if (/^[-+−]?\d*,\d+\D*$/.test(cell)) balance++
      else if (/^[-+−]?\d*\.\d+\D*$/.test(cell)) balance--
    }
  return balance > 0 ? 'comma' : 'point'
}
