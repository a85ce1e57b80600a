import BetterSqlite from 'better-sqlite3'
import { look } from './look.ts'
import { StorageError } from './storage-error.ts'

/** A copy without a log of its own can be read from a disk that cannot be written. */
export function makeSingleFile(path: string): void {
  const db = new BetterSqlite(path)
  try {
    db.pragma('journal_mode = DELETE')
  } finally {
    db.close()
  }
}

/** Looks through every page of a copy. Throws where it is another program's, a newer one's, or damaged. */
export function soundVersion(path: string): number {
  const version = look(path, 'pages')
  if (version === 0) throw new StorageError('databaseIsForeign', `${path} was not written by Brumal.`)
  return version
}
