import { type CsvFault, type CsvRow, readCsv } from './csv.ts'
import { type EntryColumn, entryColumns, entryFrom } from './entry-columns.ts'
import { canonical } from './entry-id.ts'
import { readKeeperTable } from './keeper-table.ts'
import type { TableEntry, TableWorld } from './table-world.ts'
import { say } from '../words/say.ts'

/** Lines of one table (X3): ten animals weighed weekly for nine years. All are judged and kept in one go. */
export const mostLines = 5000

/** The entries of a table, Brumal's own or a keeper's, and what was not understood. The same entry twice is one. */
export function readTable(
  csv: string,
  world: TableWorld,
): { readonly entries: readonly TableEntry[]; readonly faults: readonly CsvFault[] } {
  const read = readCsv(csv)
  if ('sentence' in read) return { entries: [], faults: [read] }
  const [header, ...rows] = read.rows
  if (header === undefined)
    return { entries: [], faults: [{ line: 1, sentence: say('The table is empty.') }] }
  if (rows.length > mostLines) {
    const sentence = say('The table has more than {mostLines} lines; cut it into several.', { mostLines })
    return { entries: [], faults: [{ line: rows[mostLines]?.line ?? 1, sentence }] }
  }
  const tooLong = rows.filter(({ cells }) => cells.slice(header.cells.length).some((cell) => cell !== ''))
  const { entries, faults } = isOwn(header)
    ? readOwnTable(header, rows)
    : readKeeperTable(header, rows, read.separator, world)
  const cut = tooLong.map(({ line }) => ({
    line,
    sentence: say('This line has more fields than the first one has names.'),
  }))
  const { once, clashes } = onlyOnce(entries)
  return {
    entries: once,
    faults: [...faults, ...cut, ...clashes].toSorted((a, b) => a.line - b.line),
  }
}

const isOwn = ({ cells }: CsvRow): boolean => ['at', 'kind'].every((name) => cells.includes(name))

function readOwnTable(header: CsvRow, rows: readonly CsvRow[]) {
  const entries: TableEntry[] = []
  const faults: CsvFault[] = []
  const known = new Set<string>(entryColumns)
  header.cells.forEach((name, i) => {
    const sentence = known.has(name)
      ? header.cells.indexOf(name) < i
        ? say('The column “{name}” stands there twice.', { name: name.slice(0, 40) })
        : null
      : say('The column “{name}” is not known; take it out.', { name: name.slice(0, 40) })
    if (sentence !== null) faults.push({ line: header.line, sentence })
  })
  if (faults.length > 0) return { entries, faults }
  for (const { line, cells } of rows) {
    const read = entryFrom(new Map(header.cells.map((name, i) => [name as EntryColumn, cells[i] ?? ''])))
    if (read.ok) entries.push({ line, entry: read.entry })
    else faults.push({ line, sentence: read.sentence })
  }
  return { entries, faults }
}

function onlyOnce(entries: readonly TableEntry[]) {
  const byId = new Map<string, TableEntry>()
  const clashes: CsvFault[] = []
  for (const one of entries) {
    const before = byId.get(one.entry.id)
    if (before === undefined) byId.set(one.entry.id, one)
    else if (canonical(before.entry) !== canonical(one.entry))
      clashes.push({
        line: one.line,
        sentence: say('It has the id of line {line}, and says something else.', { line: before.line }),
      })
  }
  return { once: [...byId.values()], clashes }
}
