import { mostProblems } from '../../schemas/import.ts'
import type { DayOrder, TableProblem, TableQuantity, TableUnit } from '../../schemas/import.ts'
import type { Instant } from '../../schemas/units.ts'
import { isGap, readDecimal, valueIn, type DecimalSign } from './decimals.ts'
import type { Row } from './rows.ts'
import { joinTime, readClock, readTime, type WrittenTime } from './written-time.ts'
import { chosen, type Course, zoneClock } from './zone-clock.ts'
import { say } from '../words/say.ts'

/** How the rows of one table are to be understood. */
export interface ReadingPlan {
  readonly firstLine: number
  readonly headings: readonly string[]
  readonly decimal: DecimalSign
  readonly time: readonly number[]
  readonly dayOrder: DayOrder
  readonly zone: string
  readonly course: Course
  /** The usual step between two rows, ms; null where none is known. */
  readonly every: number | null
  readonly columns: readonly {
    readonly column: number
    readonly quantity: TableQuantity
    readonly unit: TableUnit
  }[]
  readonly now: Instant
}

export interface Tally {
  rows: number
  readings: number
  gaps: number
  bad: number
  footer: number
  first: Instant | null
  last: Instant | null
}

/** Lines behind the readings that hold no time: a sum, a signature. More of them are no footer, but faults. */
const longestFooter = 20

/**
 * Understands the rows of a table one by one, in order; `take` is given each value by the position of its column in the
 * plan. A line at fault is named and counted, and what of it is good comes in all the same.
 */
export function tableReader(plan: ReadingPlan, take: (column: number, at: Instant, value: number) => void) {
  const { firstLine, headings, decimal, time, dayOrder, course, every, columns, now } = plan
  const instantsOf = zoneClock(plan.zone)
  const problems: TableProblem[] = []
  const tally: Tally = { rows: 0, readings: 0, gaps: 0, bad: 0, footer: 0, first: null, last: null }
  let before: Instant | null = null
  /** Lines without a time, of which only the end of the table tells whether they are its footer. */
  let timeless: TableProblem[] = []
  const width = Math.max(...time, ...columns.map(({ column }) => column)) + 1

  function name(problem: TableProblem): void {
    tally.bad++
    if (problems.length < mostProblems) problems.push(problem)
  }

  function keepTimeless(): void {
    for (const problem of timeless) name(problem)
    timeless = []
  }

  /** The row's instant, or what is wrong with its time. */
  function instantOf(cells: readonly string[]): Instant | string {
    const text = time.map((i) => cells[i] ?? '').join(' ')
    const written = writtenIn(cells, time, dayOrder)
    if (written === null) return say('Expected a time, found {text}.', { text: quoted(text) })
    const some = written.kind === 'instant' ? [written.at] : instantsOf(written.wall)
    const at = chosen(some, before, course, every)
    if (at === null)
      return say(
        'There was no {text} in {zone}: the clocks went forward over it. Was the logger set to another zone?',
        { text, zone: plan.zone },
      )
    if (at < 0) return say('{text} is before 1970.', { text: quoted(text) })
    return at > now ? say('{text} is in the future.', { text: quoted(text) }) : at
  }

  /** What is wrong with its values; null where nothing is. */
  function takeValues(cells: readonly string[], at: Instant): string | null {
    let wrong: string | null = null
    for (let c = 0; c < columns.length; c++) {
      const { column, quantity, unit } = columns[c] as ReadingPlan['columns'][number]
      const cell = cells[column] ?? ''
      if (isGap(cell)) {
        tally.gaps++
        continue
      }
      const decimalOrNull = readDecimal(cell, decimal)
      const value = decimalOrNull === null ? Number.NaN : valueIn(decimalOrNull, unit)
      const fault =
        decimalOrNull === null
          ? say('Expected a number in {heading}, found {cell}.', {
              heading: quoted(headings[column] ?? ''),
              cell: quoted(cell),
            })
          : objection(quantity, value, cell)
      if (fault !== null) {
        wrong ??= fault
        continue
      }
      tally.readings++
      take(c, at, value)
    }
    return wrong
  }

  return {
    row({ line, cells }: Row): void {
      if (line < firstLine) return
      const at = instantOf(cells)
      if (typeof at === 'string') {
        if (isHeadingAgain(cells, headings)) return
        const problem = { line, sentence: at }
        const isFooterLike = !/^\s*\d/.test(cells[time[0] ?? 0] ?? '')
        if (isFooterLike) timeless.push(problem)
        if (!isFooterLike || timeless.length > longestFooter) keepTimeless()
        if (!isFooterLike) name(problem)
        return
      }
      keepTimeless()
      before = at
      if (cells.length < width) {
        name({
          line,
          sentence: say('Expected {expected} cells, found {found}.', {
            expected: headings.length,
            found: cells.length,
          }),
        })
      } else {
        tally.rows++
        if (tally.first === null || at < tally.first) tally.first = at
        if (tally.last === null || at > tally.last) tally.last = at
        const wrong = takeValues(cells, at)
        if (wrong !== null) name({ line, sentence: wrong })
      }
    },

    end(): void {
      tally.footer = timeless.length
      timeless = []
    },

    tally: (): Readonly<Tally> => tally,
    problems: (): readonly TableProblem[] => problems,
  }
}

/** The time that a row's cells hold. */
export function writtenIn(
  cells: readonly string[],
  [whole = 0, clock]: readonly number[],
  dayOrder: DayOrder,
): WrittenTime | null {
  const written = readTime(cells[whole] ?? '', dayOrder)
  return clock === undefined ? written : joinTime(written, readClock(cells[clock] ?? ''))
}

/** Wider than any probe: a fault value in between is kept, and judged as such. */
const bounds = {
  temperature: { least: -273.15, most: 1000 },
  humidity: { least: 0, most: 200 },
} as const satisfies Record<TableQuantity, object>

function objection(quantity: TableQuantity, value: number, cell: string): string | null {
  const { least, most } = bounds[quantity]
  if (value >= least && value <= most) return null
  return quantity === 'temperature'
    ? say('{cell} is no temperature.', { cell: quoted(cell) })
    : say('{cell} is no relative humidity.', { cell: quoted(cell) })
}

/** Some loggers write their heading again each time they are started. */
const isHeadingAgain = (cells: readonly string[], headings: readonly string[]): boolean =>
  cells.length >= headings.length - 1 &&
  headings.every((heading, i) => heading === (cells[i] ?? '') || i >= cells.length)

const quoted = (text: string): string => `“${text.slice(0, 40)}${text.length > 40 ? '…' : ''}”`
