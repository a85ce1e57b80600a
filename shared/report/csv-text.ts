/** A cell of a CSV; null is an empty one. */
export type Cell = string | number | null

/**
 * Rows as RFC 4180 has them: CRLF, quotes only where they are needed. Text that a spreadsheet would run as a formula
 * gets an apostrophe before it (OWASP, CSV injection); numbers are never touched.
 */
export const csvText = (rows: readonly (readonly Cell[])[]): string =>
  rows.map((row) => `${row.map(cellText).join(',')}\r\n`).join('')

function cellText(cell: Cell): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return String(cell)
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe
}
