/** One row of a table; `line` as a text editor counts, of its first line. */
export interface Row {
  readonly line: number
  readonly cells: readonly string[]
}

export const separators = [';', '\t', '|', ','] as const
export type Separator = (typeof separators)[number]

/** A longer line is no row of readings: 64 channels of 30 signs with their quotes fill 2,200 (X3). */
export const longestLine = 16_384
/** A logger with more channels than this is a laboratory's (X3). */
const mostCells = 64
/** Lines that one quoted heading may have: two or three are seen; beyond, the quote was never closed. */
const mostJoined = 8

/**
 * Cuts text that comes in pieces into rows (RFC 4180, with any separator and any line end). Blank lines give no row. A
 * quote that is never closed is taken as a plain sign, so that it cannot swallow the rest. `take` is called in order.
 */
export function rowCutter(separator: Separator, take: (row: Row) => void) {
  let rest = ''
  let line = 0
  /** Lines of a row whose quote is open still. */
  let open: string[] = []
  let openedAt = 0

  function takeLine(text: string): void {
    line++
    if (open.length > 0) {
      open.push(text)
      const joined = open.join('\n')
      if (!hasOpenQuote(joined, separator)) {
        open = []
        emit(openedAt, joined)
      } else if (open.length >= mostJoined || joined.length > longestLine) giveUp()
      return
    }
    if (text.includes('"') && hasOpenQuote(text, separator)) {
      open = [text]
      openedAt = line
      return
    }
    emit(line, text)
  }

  /** The first line stands as it is, its quote a sign like any other; those behind it have their own chance. */
  function giveUp(): void {
    const [first = '', ...others] = open
    const until = line
    open = []
    emit(openedAt, first)
    line = openedAt
    for (const other of others) takeLine(other)
    line = Math.max(line, until)
  }

  function emit(at: number, text: string): void {
    if (text.trim() === '') return
    take({ line: at, cells: cellsOf(text, separator) })
  }

  return {
    feed(text: string): void {
      const all = rest + text
      let from = 0
      for (let i = nextEnd(all, 0); i !== -1; i = nextEnd(all, from)) {
        // what stands behind a carriage return at the very end is not known yet
        if (all[i] === '\r' && i === all.length - 1) break
        takeLine(all.slice(from, i))
        from = all[i] === '\r' && all[i + 1] === '\n' ? i + 2 : i + 1
      }
      rest = all.slice(from)
      if (rest.length > longestLine) rest = rest.slice(0, longestLine + 1)
    },
    end(): void {
      if (rest !== '') takeLine(rest.endsWith('\r') ? rest.slice(0, -1) : rest)
      rest = ''
      while (open.length > 0) giveUp()
    },
  }
}

/** The cells of one line, trimmed, at most `mostCells` and one more. */
export function cellsOf(text: string, separator: Separator): string[] {
  if (!text.includes('"')) return trimmed(text.split(separator, mostCells + 1))
  const cells: string[] = []
  let i = 0
  while (i <= text.length && cells.length <= mostCells) {
    const [cell, next] = cellAt(text, i, separator)
    cells.push(cell)
    i = next
  }
  return trimmed(cells)
}

function trimmed(cells: string[]): string[] {
  for (let i = 0; i < cells.length; i++) cells[i] = (cells[i] as string).trim()
  return cells
}

/** The cell that begins at `i`, and where the next one does; past the end where there is none. */
function cellAt(text: string, i: number, separator: Separator): [cell: string, next: number] {
  let start = i
  while (text[start] === ' ') start++
  if (text[start] === '"') {
    const end = closing(text, start)
    const next = end === -1 ? -1 : nextAfter(text, end + 1, separator)
    if (next !== -1) return [text.slice(start + 1, end).replaceAll('""', '"'), next]
  }
  const end = text.indexOf(separator, i)
  return end === -1 ? [text.slice(i), text.length + 1] : [text.slice(i, end), end + 1]
}

/** Where the quote opened at `start` closes; -1 where it does not. */
function closing(text: string, start: number): number {
  let end = text.indexOf('"', start + 1)
  while (end !== -1 && text[end + 1] === '"') end = text.indexOf('"', end + 2)
  return end
}

/** Behind a closed quote only a separator or the end may follow; -1 for anything else: then it was a sign. */
function nextAfter(text: string, i: number, separator: Separator): number {
  let next = i
  while (text[next] === ' ') next++
  if (next >= text.length) return text.length + 1
  return text[next] === separator ? next + 1 : -1
}

function hasOpenQuote(text: string, separator: Separator): boolean {
  let i = 0
  while (i <= text.length) {
    let start = i
    while (text[start] === ' ') start++
    if (text[start] === '"' && closing(text, start) === -1) return true
    i = cellAt(text, i, separator)[1]
  }
  return false
}

/** Carriage return, line feed, or both. */
function nextEnd(text: string, from: number): number {
  const feed = text.indexOf('\n', from)
  const back = text.indexOf('\r', from)
  if (feed === -1) return back
  return back === -1 ? feed : Math.min(feed, back)
}
