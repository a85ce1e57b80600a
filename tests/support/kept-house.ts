import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { backUp } from '../../daemon/sqlite/backup.ts'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { Household } from '../../schemas/household.ts'
import { PersonId } from '../../schemas/ids.ts'
import { aPicture, feeding, weighIn } from './diary-lines.ts'
import { aReading, clock, minute, openStore, zonesByHand } from './store-world.ts'
import { phone, waitingParcel } from './waiting-parcel.ts'

/** A folder in memory where there is one, gone after the test: hundreds of openings then wait for no disk. */
export function quickFolder(): { readonly path: string; readonly remove: () => void } {
  const path = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'store-'))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

export const householdNamed = (name: string): Household =>
  Household.parse({ version: 1, name, timeZone: 'Europe/Vienna' })

/** A reading a minute, with noise so that a block fills a part of a page. */
const readings = (from: number, to: number) =>
  Array.from({ length: (to - from) * 60 }, (_, i) =>
    aReading(clock(from) + i * minute, Math.sin(i * i + from) * 10),
  )

/**
 * Fills `data`: 20 hours, a backup of them among `backups` (household "Before"), then 10 hours more, two of which wait
 * for the fold, and the household "Now". The database stands in one file, as after a stop.
 */
export async function keepHouse(data: string): Promise<{ readonly backup: string }> {
  const { db, store } = openStore(data)
  const people = sqlitePeople(db)
  const outbox = sqliteOutbox(db)
  const diary = sqliteDiary(db)
  store.commit({
    readings: readings(0, 20),
    journal: Array.from(
      { length: 100 },
      (_, i) => ({ at: clock(i / 5), kind: 'started', by: 'brumal' }) as const,
    ),
    household: householdNamed('Before'),
  })
  store.fold(clock(20), zonesByHand, 'folded at 20')
  people.savePerson({ id: PersonId.parse('ada'), name: 'Ada', role: 'keeper', passwordHash: 'old hash' })
  people.secret('linkKey', () => 'a key')
  diary.saveEntries([weighIn(812)])
  const { path } = await backUp(data, join(data, 'backups'), { now: clock(21), keep: 14 })

  store.commit({
    readings: readings(20, 30),
    journal: Array.from(
      { length: 50 },
      (_, i) => ({ at: clock(20 + i / 5), kind: 'stopped', by: 'brumal' }) as const,
    ),
    household: householdNamed('Now'),
    parcels: [waitingParcel('waits')],
  })
  store.fold(clock(28), zonesByHand, 'folded at 28')
  people.savePerson({ id: PersonId.parse('ada'), name: 'Ada', role: 'keeper', passwordHash: 'new hash' })
  people.savePerson({ id: PersonId.parse('ben'), name: 'Ben', role: 'sitter', passwordHash: 'hash' })
  outbox.saveChannelSecret(phone, { kind: 'relay', token: 'a relay token' })
  outbox.saveRing(phone, clock(22))
  diary.saveEntries([weighIn(821), feeding])
  diary.savePicture(aPicture.id, aPicture, clock(22))
  sqliteDevices(db).saveDevice({
    name: 'probe-1',
    kind: 'sensor',
    topics: [],
    createdAt: clock(22),
    seenAt: null,
    passwordHash: 'hash of a password',
  })
  store.close()
  return { backup: path }
}

export const copyHouse = (from: string, to: string): void => cpSync(from, to, { recursive: true })

/** As its header says (sqlite.org/fileformat2.html §1.3.2). */
export const pageBytesOf = (data: string): number => readFileSync(join(data, databaseName)).readUInt16BE(16)

/** Changes the file in place; gives what it holds then. */
export function spoil(data: string, change: (bytes: Buffer) => void): Buffer {
  const path = join(data, databaseName)
  const bytes = readFileSync(path)
  change(bytes)
  writeFileSync(path, bytes)
  return bytes
}
