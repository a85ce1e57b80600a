import type { Database, Statement } from 'better-sqlite3'
import { JournalLine } from '../../schemas/api.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Store } from '../ports.ts'
import { StorageError } from './storage-error.ts'

type Query = Parameters<Store['journal']>[0]

/** The append-only journal; ids ascend in the order of writing. */
export function journalTable(db: Database) {
  const insert = db.prepare<[number, string, string | null, string]>(
    'INSERT INTO journal (at, kind, alarm, entry) VALUES (?, ?, ?, ?)',
  )
  const prepared = new Map<string, Statement<[Query], LineRow>>()

  /** Each set of conditions is prepared once; sixteen at most. */
  function statementFor(query: Query): Statement<[Query], LineRow> {
    const conditions = [
      query.before === undefined ? null : 'id < @before',
      query.from === undefined ? null : 'at >= @from',
      query.to === undefined ? null : 'at < @to',
      query.alarmsOnly === true ? 'alarm IS NOT NULL' : null,
    ].filter((condition) => condition !== null)
    const where = conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`
    const known = prepared.get(where)
    if (known) return known
    const statement = db.prepare<[Query], LineRow>(
      `SELECT id, entry FROM journal ${where} ORDER BY id DESC LIMIT @limit`,
    )
    prepared.set(where, statement)
    return statement
  }

  return {
    add(entry: JournalEntry): JournalLine {
      const { lastInsertRowid } = insert.run(entry.at, entry.kind, entry.alarm ?? null, JSON.stringify(entry))
      return { ...entry, id: Number(lastInsertRowid) }
    },

    /** Newest first, ids below `before`, `from` included, `to` left out; `alarmsOnly`: lines that name an alarm. */
    lines: (query: Query): JournalLine[] => statementFor(query).all(query).map(lineOf),
  }
}

/** Whether a stored line can be read. */
export function isLine(row: LineRow): boolean {
  try {
    lineOf(row)
    return true
  } catch {
    return false
  }
}

export interface LineRow {
  readonly id: number
  readonly entry: string
}

function lineOf({ id, entry }: LineRow): JournalLine {
  try {
    return JournalLine.parse({ ...(JSON.parse(entry) as object), id })
  } catch (cause) {
    throw new StorageError('databaseIsDamaged', `Line ${id} of the journal cannot be read.`, { cause })
  }
}
