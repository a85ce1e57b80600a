import BetterSqlite, { type Database } from 'better-sqlite3'
import { salvageDiary } from './salvage-diary.ts'
import { salvageReadings } from './salvage-readings.ts'
import { salvageJournal } from './salvage-journal.ts'
import { readTable, type TableRead } from './salvage-table.ts'
import {
  hotTable,
  peopleMadeTables,
  seriesTable,
  sessionTable,
  type SmallTable,
  snapshotTable,
  upstreamTables,
} from './small-tables.ts'

/** What could be taken out of a damaged database. */
export interface Salvaged {
  readonly household: boolean
  /** Whether the watch goes on from its last state, with every reading that waited. */
  readonly watch: boolean
  /** Hours of single sensors that the new database did not have. */
  readonly hours: number
}

/**
 * Takes over into `to` whatever can still be read in the damaged file, over what is there. Never throws for anything
 * that is wrong with the damaged one.
 */
export function salvage(damagedPath: string, to: Database): Salvaged {
  const from = openDamaged(damagedPath)
  if (from === null) return { household: false, watch: false, hours: 0 }
  try {
    const household = salvagePeopleMade(from, to)
    const { watch, hours } = salvageReadings(
      from,
      to,
      readTable(from, seriesTable),
      readTable(from, hotTable),
      readTable(from, snapshotTable),
    )
    salvageJournal(from, to)
    salvageDiary(from, to)
    return { household, watch, hours }
  } finally {
    from.close()
  }
}

function openDamaged(path: string): Database | null {
  let db: Database | null = null
  try {
    db = new BetterSqlite(path, { readonly: true, fileMustExist: true })
    db.pragma('cell_size_check = ON')
    db.prepare('SELECT count(*) FROM sqlite_schema').get()
    return db
  } catch {
    db?.close()
    return null
  }
}

/** Says whether the household came over. */
function salvagePeopleMade(from: Database, to: Database): boolean {
  let household = false
  to.pragma('foreign_keys = OFF') // a table may come over without the people that it names
  const take = to.transaction(() => {
    for (const table of peopleMadeTables) {
      const read = readTable(from, table)
      if (read === null) continue
      if (table.name === 'household') household = read.rows.length > 0
      put(to, table, read)
    }
    // signed in as they were, or signed out: a sign-in that has ended since the backup must not come to life again (X1)
    const sessions = readTable(from, sessionTable)
    for (const table of upstreamTables) {
      const read = readTable(from, table)
      if (read !== null) put(to, table, read)
    }
    put(to, sessionTable, { rows: sessions?.isWhole ? sessions.rows : [], isWhole: true })
    for (const table of ['session', 'access_token'])
      to.exec(`DELETE FROM ${table} WHERE person NOT IN (SELECT id FROM person)`)
  })
  take.immediate()
  to.pragma('foreign_keys = ON')
  return household
}

/** A table that was read whole takes the place of what is there; of one that was not, each row that was read does. */
function put(to: Database, table: SmallTable, { rows, isWhole }: TableRead): void {
  // a household that was never set up is no reason to forget the one of the backup
  if (isWhole && (rows.length > 0 || table.name !== 'household')) to.exec(`DELETE FROM ${table.name}`)
  for (const row of rows) {
    const columns = Object.keys(row)
    to.prepare(
      `INSERT OR REPLACE INTO ${table.name} (${columns.join(', ')}) VALUES (${columns.map((name) => `@${name}`).join(', ')})`,
    ).run(row)
  }
}
