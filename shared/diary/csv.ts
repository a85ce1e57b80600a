import { say } from '../words/say.ts'

export type Separator = ',' | ';' | '\t'

export interface CsvRow {
  /** Where it begins, as a text editor counts. */
  readonly line: number
  readonly cells: readonly string[]
}

export interface CsvFault {
  readonly line: number
  readonly sentence: string
}

/**
 * The records of a CSV (RFC 4180, section 2), blank lines left out. More lenient than the RFC in three things: a line may
 * end in LF or CR alone, a mark of byte order may stand before the first, and the separator is what the first line has
 * most of. Not more lenient with quotes: what is read wrongly there runs into the next lines.
 */
export function readCsv(
  text: string,
): { readonly rows: readonly CsvRow[]; readonly separator: Separator } | CsvFault {
  const csv = text.startsWith('\uFEFF') ? text.slice(1) : text
  const separator = separatorOf(csv)
  const rows: CsvRow[] = []
  let cells: string[] = []
  let line = 1
  let begins = 1
  let at = 0

  const endRow = () => {
    if (cells.some((cell) => cell !== '')) rows.push({ line: begins, cells })
    cells = []
  }
  for (;;) {
    if (csv[at] === '"') {
      const opened = line
      let cell = ''
      for (;;) {
        const end = csv.indexOf('"', at + 1)
        if (end < 0) return { line: opened, sentence: say('A quote is opened here and never closed.') }
        cell += csv.slice(at + 1, end)
        at = end + 1
        if (csv[at] !== '"') break
        cell += '"'
      }
      cells.push(cell)
      line += breaksIn(cell)
      if (at < csv.length && !isEnd(csv[at], separator))
        return {
          line,
          sentence: say('Something stands behind a closing quote; quotes inside a field are written twice.'),
        }
    } else {
      let end = at
      while (end < csv.length && csv[end] !== '"' && !isEnd(csv[end], separator)) end += 1
      if (csv[end] === '"')
        return {
          line,
          sentence: say(
            'A quote stands inside a field that does not begin with one; put the whole field in quotes.',
          ),
        }
      cells.push(csv.slice(at, end))
      at = end
    }
    if (csv[at] === separator) {
      at += 1
      continue
    }
    endRow()
    if (at >= csv.length) return { rows, separator }
    at += csv.startsWith('\r\n', at) ? 2 : 1
    line += 1
    begins = line
    if (at >= csv.length) return { rows, separator }
  }
}

/** One record for each row, each ended by CRLF; quotes only where they are needed (RFC 4180, section 2). */
export const writeCsv = (rows: readonly (readonly string[])[]): string =>
  rows.map((cells) => `${cells.map(quoted).join(',')}\r\n`).join('')

/**
 * A spreadsheet reckons what begins with one of these signs, and a note must not reckon on a keeper's computer
 * (CWE-1236): an apostrophe before it makes it text there. `asSaid` takes it off again.
 */
export const harmless = (cell: string): string => (/^'*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell)
export const asSaid = (cell: string): string => (/^'+[=+\-@\t\r]/.test(cell) ? cell.slice(1) : cell)

const quoted = (cell: string): string => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)

const isEnd = (char: string | undefined, separator: Separator): boolean =>
  char === separator || char === '\n' || char === '\r'

const breaksIn = (cell: string): number => cell.match(/\r\n|\r|\n/g)?.length ?? 0

/** Spreadsheets write semicolons where the decimal sign is a comma. */
function separatorOf(csv: string): Separator {
  const [header = ''] = csv.replaceAll(/"[^"]*"/g, '').split(/[\r\n]/, 1)
  const count = (of: Separator): number => header.split(of).length - 1
  const separators: readonly Separator[] = [',', ';', '\t']
  return separators.reduce((best, one) => (count(one) > count(best) ? one : best))
}
