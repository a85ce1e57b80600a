import { millis } from '../../schemas/amounts.ts'
import {
  type ColumnGuess,
  type ImportId,
  type LookChoice,
  type TableLook,
  tableRows,
} from '../../schemas/import.ts'
import type { Instant } from '../../schemas/units.ts'
import { guessColumns } from '../../shared/logger-table/columns.ts'
import { guessWriting, type Writing } from '../../shared/logger-table/dialect.ts'
import { type Evidence, timeEvidence } from '../../shared/logger-table/evidence.ts'
import { type ReadingPlan, tableReader, writtenIn } from '../../shared/logger-table/reader.ts'
import type { Encoding } from '../../shared/logger-table/encoding.ts'
import { chosen, zoneClock } from '../../shared/logger-table/zone-clock.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { ImportRefusal } from '../ports/imports.ts'
import type { Pause } from './place-cost.ts'
import { headOf, readRows } from './table-text.ts'

/** A table that waits, as far as looking at it needs. */
export interface HeldTable {
  readonly id: ImportId
  readonly file: string
  readonly bytes: number
  readonly read: () => AsyncIterable<Uint8Array>
}

/** How a table's rows are to be read. */
export interface Planned {
  readonly plan: ReadingPlan
  readonly writing: Writing
  readonly encoding: Encoding
  readonly columns: readonly ColumnGuess[]
  readonly evidence: Evidence
}

interface LookWorld {
  readonly zone: string
  readonly now: Instant
  readonly pause: Pause
}

/** Rows that a person is shown to compare. */
const rowsShown = 8
const longestCell = 80

/**
 * How a table is to be read, by its head: what `choice` leaves out is guessed, and local times of nobody's zone are read
 * in `zone`, so that there is something to look at. From end to end only where the head leaves the order of dates open.
 */
export async function planFor(
  table: HeldTable,
  choice: LookChoice,
  world: LookWorld,
): Promise<Outcome<Planned, ImportRefusal>> {
  const { text, encoding } = await headOf(table.read())
  const writing = guessWriting(text)
  if (writing === null) return notATable
  const columns = guessColumns(writing)
  const time = choice.time ?? columns.filter(isOfTime).map(({ index }) => index)
  const wanted = choice.columns ?? columns.flatMap(guessed)
  const wide = writing.headings.length
  if ([...time, ...wanted.map(({ column }) => column)].some((column) => column >= wide)) return noSuchColumn
  const evidence = await evidenceOf(table, { writing, encoding, time }, world.pause)
  const plan: ReadingPlan = {
    firstLine: writing.firstLine,
    headings: writing.headings,
    decimal: writing.decimal,
    time,
    dayOrder: choice.dayOrder ?? (evidence.dayOrder === 'monthFirst' ? 'monthFirst' : 'dayFirst'),
    zone: choice.zone ?? world.zone,
    course: evidence.course,
    every: evidence.every,
    columns: wanted,
    now: world.now,
  }
  return { ok: true, value: { plan, writing, encoding, columns, evidence } }
}

/** Looks a table through, from end to end and with a pause after each slice. */
export async function lookAt(
  table: HeldTable,
  choice: LookChoice,
  world: LookWorld,
  mostRows = tableRows,
): Promise<Outcome<TableLook, ImportRefusal>> {
  const planned = await planFor(table, choice, world)
  if (!planned.ok) return planned
  const { plan, writing, encoding, columns, evidence } = planned.value
  const reader = tableReader(plan, () => undefined)
  let rows = 0
  await readRows(
    table.read(),
    { encoding, separator: writing.separator },
    (row) => {
      rows++
      reader.row(row)
    },
    async () => {
      await world.pause()
      return rows <= mostRows
    },
  )
  reader.end()
  if (rows > mostRows) return tooManyRows
  const { first, last, ...counts } = reader.tally()
  const look: TableLook = {
    id: table.id,
    file: table.file,
    bytes: table.bytes,
    dialect: {
      encoding,
      separator: writing.separator,
      decimal: writing.decimal,
      headingLine: writing.headingLine,
      firstLine: writing.firstLine,
    },
    columns: columns.map((column) => ({ ...column, heading: column.heading.slice(0, longestCell) })),
    time: plan.time,
    isLocal: evidence.isLocal,
    dayOrder: evidence.dayOrder,
    zone: plan.zone,
    rows: firstRows(writing, plan),
    counts,
    span: first === null || last === null ? null : { first, last },
    every: evidence.every === null ? null : millis(Math.round(evidence.every)),
    problems: reader.problems(),
  }
  return { ok: true, value: look }
}

const isOfTime = ({ role }: ColumnGuess): boolean => role === 'time' || role === 'date' || role === 'clock'

/** °C where nothing says otherwise: a person looks at it. */
const guessed = ({ index, role, quantity, unit }: ColumnGuess): ReadingPlan['columns'][number][] =>
  role !== 'value' || quantity === null
    ? []
    : [{ column: index, quantity, unit: unit ?? (quantity === 'humidity' ? 'percent' : 'celsius') }]

/** The head tells it but for the order of day and month, which a later part of the month may settle. */
async function evidenceOf(
  table: HeldTable,
  { writing, encoding, time }: { writing: Writing; encoding: Encoding; time: readonly number[] },
  pause: Pause,
): Promise<Evidence> {
  const head = timeEvidence(writing.firstLine, time)
  for (const row of writing.rows) head.row(row)
  const found = head.found()
  if (found.dayOrder !== 'ambiguous') return found
  const all = timeEvidence(writing.firstLine, time)
  await readRows(table.read(), { encoding, separator: writing.separator }, all.row, async () => {
    await pause()
    return true
  })
  return all.found()
}

function firstRows(writing: Writing, plan: ReadingPlan): TableLook['rows'] {
  const instantsOf = zoneClock(plan.zone)
  let before: Instant | null = null
  return writing.rows.slice(0, rowsShown).map(({ line, cells }) => {
    const written = writtenIn(cells, plan.time, plan.dayOrder)
    const some = written === null ? [] : written.kind === 'instant' ? [written.at] : instantsOf(written.wall)
    const at = chosen(some, before, plan.course, plan.every)
    before = at ?? before
    return {
      line,
      cells: cells.map((cell) => cell.slice(0, longestCell)),
      at: at !== null && at >= 0 ? at : null,
    }
  })
}

const notATable = {
  ok: false,
  error: 'notATable',
  sentence:
    'No row of it has a time and a number beside it. Export the readings as CSV, with one row for each time.',
} as const

const noSuchColumn = {
  ok: false,
  error: 'noSuchColumn',
  sentence: 'The table has no such column.',
} as const

const tooManyRows = {
  ok: false,
  error: 'tooManyRows',
  sentence: `A table may have at most ${tableRows / 1_000_000} million rows. Split it, and send the parts one after another.`,
} as const
