/** One measured process: a simulated winter in a new folder; says what the kernel and the database count for it. */
import { mkdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite from 'better-sqlite3'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { hours } from '../../schemas/amounts.ts'
import { simulatedWinter, type Winter } from '../support/simulated-winter.ts'

/** What is tried; pages and log as the daemon sets them where nothing is said. */
export interface Tried extends Winter {
  readonly folder: string
  readonly hours: number
  readonly pageSize?: number
  readonly autocheckpoint?: number
  /** Without waiting for the disk: only where bytes in the file are asked for. */
  readonly isUnsynced?: boolean
}

export interface Counted {
  readonly readings: number
  readonly commits: number
  readonly alarms: number
  readonly messages: number
  readonly snapshotBytes: number
  /** Bytes that reached the storage layer, pages at a time, and bytes handed to `write`. */
  readonly writeBytes: number
  readonly wchar: number
  readonly fileBytes: number
  /** Readings in folded hours, and the pages of the tables that hold them. */
  readonly folded: number
  readonly foldedBytes: number
  readonly ms: number
}

const [given] = process.argv.slice(2)
if (given !== undefined) process.send?.(run(JSON.parse(given) as Tried))

function run(tried: Tried): Counted {
  const before = counters()
  const began = performance.now()
  if (tried.pageSize !== undefined) makeWithPages(tried.folder, tried.pageSize)
  const db = openDatabase(tried.folder)
  if (tried.autocheckpoint !== undefined) db.pragma(`wal_autocheckpoint = ${tried.autocheckpoint}`)
  if (tried.isUnsynced === true) db.pragma('synchronous = OFF')
  if (tried.pageSize !== undefined && db.pragma('page_size', { simple: true }) !== tried.pageSize)
    throw new Error(`the database has no pages of ${tried.pageSize}`)
  const winter = simulatedWinter(db, tried)
  winter.pass(hours(tried.hours))
  const folded = Number(db.prepare('SELECT sum(n) FROM block').pluck().get())
  const foldedBytes = Number(
    db.prepare("SELECT sum(pgsize) FROM dbstat WHERE name IN ('block', 'block_data')").pluck().get(),
  )
  winter.close()
  const after = counters()
  const { readings, settled, commits, snapshotBytes } = winter.counts
  if (tried.patience !== 'group' && settled !== readings)
    throw new Error(`${readings} readings stored, ${settled} settled`)
  return {
    readings,
    commits,
    alarms: winter.alarms(),
    messages: winter.told(),
    snapshotBytes,
    writeBytes: after.writeBytes - before.writeBytes,
    wchar: after.wchar - before.wchar,
    fileBytes: statSync(join(tried.folder, databaseName)).size,
    folded,
    foldedBytes,
    ms: performance.now() - began,
  }
}

/** An empty file of the wanted page size keeps it. */
function makeWithPages(folder: string, pageSize: number): void {
  mkdirSync(folder, { recursive: true })
  const db = new BetterSqlite(join(folder, databaseName))
  db.pragma(`page_size = ${pageSize}`)
  db.exec('VACUUM')
  db.close()
}

/** `proc_pid_io(5)`. A page that is dirtied again before it is written counts once in `write_bytes`. */
function counters(): { writeBytes: number; wchar: number } {
  const text = readFileSync('/proc/self/io', 'utf8')
  const of = (name: string) => Number(new RegExp(`^${name}: (\\d+)$`, 'm').exec(text)?.[1])
  return { writeBytes: of('write_bytes') - of('cancelled_write_bytes'), wchar: of('wchar') }
}
