import type { Database, Statement } from 'better-sqlite3'
import { JournalLine } from '../../schemas/api.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Store } from '../ports/store.ts'
import { StorageError } from './storage-error.ts'

type Query = Parameters<Store['journal']>[0]

/** SQLite takes no list: as JSON. */
type Asked = Omit<Query, 'places' | 'kinds' | 'alarmsOnly'> & {
  readonly places?: string
  readonly kinds?: string
}

/** The append-only journal; ids ascend in the order of writing. */
export function journalTable(db: Database) {
  const insert = db.prepare<[number, string, string | null, string]>(
    'INSERT INTO journal (at, kind, alarm, entry) VALUES (?, ?, ?, ?)',
  )
  const prepared = new Map<string, Statement<[Asked], LineRow>>()

  /** Each set of conditions is prepared once; 64 at most. */
  function statementFor(query: Query): Statement<[Asked], LineRow> {
    const isPicked = query.places !== undefined || query.kinds !== undefined
    const conditions = [
      query.before === undefined ? null : 'id < @before',
      query.from === undefined ? null : 'at >= @from',
      query.to === undefined ? null : 'at < @to',
      query.alarmsOnly === true ? 'alarm IS NOT NULL' : null,
      query.kinds === undefined ? null : 'kind IN (SELECT value FROM json_each(@kinds))',
      query.places === undefined
        ? null
        : "json_extract(entry, '$.place') IN (SELECT value FROM json_each(@places))",
    ].filter((condition) => condition !== null)
    const where = conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`
    // Few lines of many: by time, whose index leaves the years before out; walking down the ids would read them all.
    const byTime = isPicked && query.from !== undefined ? 'INDEXED BY journal_at' : ''
    const text = `SELECT id, entry FROM journal ${byTime} ${where} ORDER BY id DESC LIMIT @limit`
    const known = prepared.get(text)
    if (known) return known
    const statement = db.prepare<[Asked], LineRow>(text)
    prepared.set(text, statement)
    return statement
  }

  return {
    add(entry: JournalEntry): JournalLine {
      const { lastInsertRowid } = insert.run(entry.at, entry.kind, entry.alarm ?? null, JSON.stringify(entry))
      return { ...entry, id: Number(lastInsertRowid) }
    },

    /**
     * Newest first, ids below `before`, `from` included, `to` left out; `alarmsOnly`: lines that name an alarm; `places` and
     * `kinds`: theirs alone.
     */
    lines: (query: Query): JournalLine[] => statementFor(query).all(asked(query)).map(lineOf),
  }
}

function asked({ places, kinds, alarmsOnly: _, ...query }: Query): Asked {
  return {
    ...query,
    ...(places !== undefined && { places: JSON.stringify(places) }),
    ...(kinds !== undefined && { kinds: JSON.stringify(kinds) }),
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

/** Throws a `StorageError` where it cannot be read. */
export function lineOf({ id, entry }: LineRow): JournalLine {
  try {
    return JournalLine.parse({ ...(JSON.parse(entry) as object), id })
  } catch (cause) {
    throw new StorageError('databaseIsDamaged', `Line ${id} of the journal cannot be read.`, { cause })
  }
}
