import type { Database } from 'better-sqlite3'
import type { SmallTable } from './small-tables.ts'

type Row = Readonly<Record<string, unknown>>

export interface TableRead {
  /** In the table's order. */
  readonly rows: readonly Row[]
  /** Whether nothing in the table is damaged as far as can be told. */
  readonly isWhole: boolean
}

/** Every row of a table that can be read and is what it should be; null where the table is not there at all. */
export function readTable(from: Database, table: SmallTable): TableRead | null {
  try {
    from.prepare(`SELECT 1 FROM ${table.name} LIMIT 0`)
  } catch {
    return null
  }
  let isWhole = isSound(from, table.name)
  const rows: Row[] = []
  const known = new Set<unknown>()
  const take = (row: unknown): boolean => {
    const parsed = table.row.safeParse(row)
    if (!parsed.success) isWhole = false
    else if (!known.has(parsed.data[table.key])) {
      known.add(parsed.data[table.key])
      rows.push(row as Row) // as it was: parsing would fill in what a document leaves out
    }
    return rows.length < mostRows
  }
  if (!eachRow(from, `SELECT * FROM ${table.name} ORDER BY ${table.order}`, [], take)) {
    isWhole = false
    // from the other end: what stands behind the damage
    const behind = rows.length
    eachRow(from, `SELECT * FROM ${table.name} ORDER BY ${table.order} DESC`, [], take)
    rows.push(...rows.splice(behind).toReversed())
  }
  return { rows, isWhole }
}

/** Calls `take` for each row until it says no or the damage is met; says whether the end was reached. */
export function eachRow(
  from: Database,
  sql: string,
  parameters: readonly number[],
  take: (row: unknown) => boolean,
): boolean {
  const next = rowsOf(from, sql, parameters)
  for (;;) {
    const step = next()
    if (step === 'damage') return false
    if (step === 'end') return true
    if (!take(step.row)) return false // what it throws is the new database's fault, and passed on
  }
}

type Step = 'damage' | 'end' | { readonly row: unknown }

function rowsOf(from: Database, sql: string, parameters: readonly number[]): () => Step {
  let rows: IterableIterator<unknown> | null = null
  return () => {
    try {
      rows ??= from.prepare<number[]>(sql).iterate(...parameters)
      const step = rows.next()
      return step.done === true ? 'end' : { row: step.value }
    } catch {
      return 'damage'
    }
  }
}

export function isSound(from: Database, table: string): boolean {
  try {
    return from.pragma(`quick_check('${table}')`, { simple: true }) === 'ok'
  } catch {
    return false
  }
}

/** A damaged tree may lead in rings: no small table has as many rows (X3). */
const mostRows = 200_000
