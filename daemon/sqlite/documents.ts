import type { Database } from 'better-sqlite3'
import { Household } from '../../schemas/household.ts'
import type { Snapshot } from '../ports/store.ts'
import { StorageError } from './storage-error.ts'

/** The two texts of which there is one each: the household as set up, and the watch's state. */
export function documentsOf(db: Database) {
  const saveHousehold = db.prepare<[string]>('INSERT OR REPLACE INTO household (id, document) VALUES (1, ?)')
  const household = db.prepare<[], string>('SELECT document FROM household').pluck()
  const saveSnapshot = db.prepare<[string, number]>(
    'INSERT OR REPLACE INTO snapshot (id, text, seq) VALUES (1, ?, ?)',
  )
  const snapshot = db.prepare<[], { text: string; seq: number }>('SELECT text, seq FROM snapshot')

  return {
    saveHousehold(document: Household): void {
      saveHousehold.run(JSON.stringify(document))
    },

    household(): Household | null {
      const document = household.get()
      if (document === undefined) return null
      try {
        return Household.parse(JSON.parse(document))
      } catch (cause) {
        throw new StorageError('databaseIsDamaged', 'The household in the database cannot be read.', {
          cause,
        })
      }
    },

    /** `seq`: number of the newest reading that the snapshot has seen. */
    saveSnapshot(text: Snapshot, seq: number): void {
      saveSnapshot.run(text, seq)
    },

    snapshot: (): { text: Snapshot; seq: number } | undefined => snapshot.get(),
  }
}
