import { harmless, writeCsv } from '../diary/csv.ts'

/** A cell of a CSV; null is an empty one. */
export type Cell = string | number | null

/** Rows as a CSV for a spreadsheet; numbers are never touched. */
export const csvText = (rows: readonly (readonly Cell[])[]): string =>
  writeCsv(rows.map((row) => row.map(cellText)))

const cellText = (cell: Cell): string =>
  cell === null ? '' : typeof cell === 'number' ? String(cell) : harmless(cell)
