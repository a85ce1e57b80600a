import { z } from 'zod'
import { PlaceId, SensorId } from './ids.ts'
import { TimeZone } from './place.ts'
import { Instant, Millis } from './units.ts'

/** Ten winters of one reading a minute with two channels are 50 MB (X3). */
export const tableBytes = 67_108_864
/** Half of them by day: 2 million rows are nearly four years of one a minute (X3). */
export const tableRows = 2_000_000
/** Lines at fault of one answer (X3): whoever mends so many looks at the table anyway. */
export const mostProblems = 100

export const ImportId = z
  .string()
  .regex(/^[a-z0-9]{8,32}$/, 'not the id of an import')
  .brand<'ImportId'>()
export type ImportId = z.infer<typeof ImportId>

export const TableUnit = z.enum(['celsius', 'fahrenheit', 'kelvin', 'percent'])
export type TableUnit = z.infer<typeof TableUnit>

export const TableQuantity = z.enum(['temperature', 'humidity'])
export type TableQuantity = z.infer<typeof TableQuantity>

/** What 03/04 means. */
export const DayOrder = z.enum(['dayFirst', 'monthFirst'])
export type DayOrder = z.infer<typeof DayOrder>

/** How a table is written. */
export const Dialect = z.strictObject({
  encoding: z.enum(['utf-8', 'windows-1252', 'utf-16le', 'utf-16be']),
  separator: z.enum([';', '\t', '|', ',']),
  decimal: z.enum(['point', 'comma']),
  /** The line that names the columns, as a text editor counts; null where none does. */
  headingLine: z.int().min(1).nullable(),
  /** The first line with readings. */
  firstLine: z.int().min(1),
})
export type Dialect = z.infer<typeof Dialect>

export const ColumnGuess = z.strictObject({
  index: z.int().min(0),
  /** As the table says, or `Column 3`. */
  heading: z.string(),
  role: z.enum(['time', 'date', 'clock', 'value', 'other']),
  quantity: TableQuantity.nullable(),
  /** Null where neither heading nor cells say it. */
  unit: TableUnit.nullable(),
})
export type ColumnGuess = z.infer<typeof ColumnGuess>

export const TableProblem = z.strictObject({ line: z.int().min(1), sentence: z.string() })
export type TableProblem = z.infer<typeof TableProblem>

export const TableCounts = z.strictObject({
  /** Lines with a time and, in the columns asked for, values or gaps. */
  rows: z.int().min(0),
  readings: z.int().min(0),
  /** Cells without a value. */
  gaps: z.int().min(0),
  /** Lines at fault. */
  bad: z.int().min(0),
  /** Lines behind the readings, such as a sum. */
  footer: z.int().min(0),
})
export type TableCounts = z.infer<typeof TableCounts>

const span = z.strictObject({ first: Instant, last: Instant }).nullable()

/** Which columns hold the time, and how it is meant. */
const timeChoice = {
  zone: TimeZone.optional(),
  dayOrder: DayOrder.optional(),
  /** One column, or that of the date and that of the time of day. */
  time: z.array(z.int().min(0).max(63)).min(1).max(2).optional(),
}

const wanted = {
  column: z.int().min(0).max(63),
  quantity: TableQuantity,
  unit: TableUnit,
}

/** What is known already of how a table is meant; what is left out is guessed. */
export const LookChoice = z.strictObject({
  ...timeChoice,
  columns: z.array(z.strictObject(wanted)).max(16).optional(),
})
export type LookChoice = z.infer<typeof LookChoice>

/** A table looked through: how it is written, what its columns seem to be, what of it would come in. */
export const TableLook = z.strictObject({
  id: ImportId,
  file: z.string(),
  bytes: z.int().min(0),
  dialect: Dialect,
  columns: z.array(ColumnGuess).readonly(),
  /** Columns of the time. */
  time: z.array(z.int()).readonly(),
  /** Whether the times are local, and hang on the zone. */
  isLocal: z.boolean(),
  /** `ambiguous`: every date may be read in either order; the question is for a person. */
  dayOrder: z.enum(['clear', 'dayFirst', 'monthFirst', 'ambiguous']),
  /** As read for this look. */
  zone: z.string(),
  /** First rows as they stand, and as they were understood. */
  rows: z
    .array(z.strictObject({ line: z.int(), cells: z.array(z.string()).readonly(), at: Instant.nullable() }))
    .readonly(),
  counts: TableCounts,
  span,
  every: Millis.nullable(),
  problems: z.array(TableProblem).readonly(),
})
export type TableLook = z.infer<typeof TableLook>

/** Where a column's readings go: to a sensor or logger that is there, or to a new logger in a place. */
export const ColumnTarget = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('known'), sensor: SensorId }),
  z.strictObject({
    kind: z.literal('newLogger'),
    name: z.string().trim().min(1).max(60),
    place: PlaceId.nullable(),
  }),
])
export type ColumnTarget = z.infer<typeof ColumnTarget>

export const ImportChoice = z.strictObject({
  ...timeChoice,
  columns: z
    .array(z.strictObject({ ...wanted, to: ColumnTarget }))
    .min(1)
    .max(16),
})
export type ImportChoice = z.infer<typeof ImportChoice>

/** One table that was taken in, or is. */
export const ImportLine = z.strictObject({
  id: ImportId,
  at: Instant,
  by: z.string(),
  file: z.string(),
  /** `broken`: it ended before its end; what came in can be taken back, or the file sent again. */
  state: z.enum(['running', 'done', 'broken', 'undoing']),
  /** Of the file, 0 to 1. */
  progress: z.number().min(0).max(1),
  rows: z.int().min(0),
  /** Readings that were new. */
  added: z.int().min(0),
  /** Readings that were there already. */
  known: z.int().min(0),
  /** Readings of hours of which only the summary is kept: they were left out. */
  thinned: z.int().min(0),
  bad: z.int().min(0),
  span,
  sensors: z.array(SensorId).readonly(),
  /** Loggers that came with it; each goes with its last reading. */
  loggers: z.array(SensorId).readonly(),
  /** Why it ended before its end. */
  why: z.string().nullable(),
})
export type ImportLine = z.infer<typeof ImportLine>

export const UndoneImport = z.strictObject({
  removed: z.int().min(0),
  /** Readings that have gone into the summary of an hour with others since, and cannot be told from them. */
  left: z.int().min(0),
})
export type UndoneImport = z.infer<typeof UndoneImport>
