import type { Database } from 'better-sqlite3'
import { Parcel } from '../../schemas/outbox.ts'
import { readStored } from './stored-json.ts'

/** Messages on their way and those that ended. The document says everything; the columns beside it are to search by. */
export function parcelTable(db: Database) {
  const insert = `INSERT INTO parcel (key, state, born_at, parcel) VALUES (@key, @state, @bornAt, @document)
    ON CONFLICT (key) DO UPDATE SET state = @state, born_at = @bornAt, parcel = @document`
  const put = db.prepare<[ParcelRow]>(insert)
  const add = db.prepare<[ParcelRow]>(`${insert} WHERE state = 'waiting'`)
  const waiting = db
    .prepare<[], string>("SELECT parcel FROM parcel WHERE state = 'waiting' ORDER BY born_at, rowid")
    .pluck()
  const recent = db
    .prepare<[number], string>('SELECT parcel FROM parcel ORDER BY born_at DESC, rowid DESC LIMIT ?')
    .pluck()
  const forgetEnded = db.prepare<[number]>("DELETE FROM parcel WHERE born_at < ? AND state <> 'waiting'")

  return {
    /** A commit that is made again must not wake a parcel that went out in the meantime: what has ended stays. */
    add(parcel: Parcel): void {
      add.run(rowOf(parcel))
    },

    /** Over whatever has its key. */
    put(parcel: Parcel): void {
      put.run(rowOf(parcel))
    },

    waiting: (): Parcel[] => waiting.all().map(parcelIn),
    recent: (limit: number): Parcel[] => recent.all(limit).map(parcelIn),
    forgetEnded: (before: number): number => forgetEnded.run(before).changes,
  }
}

type ParcelRow = Omit<Parcel, 'message'> & { readonly document: string }

const rowOf = (parcel: Parcel): ParcelRow => ({ ...parcel, document: JSON.stringify(parcel) })

const parcelIn = (document: string): Parcel => readStored(Parcel, document, 'A message')
