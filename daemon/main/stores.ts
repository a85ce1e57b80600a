import { rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { Settings } from '../../schemas/settings.ts'
import type { DeviceStore, Log, OutboxStore, Store } from '../ports.ts'
import { sqliteDevices } from '../sqlite/devices.ts'
import { openDatabase } from '../sqlite/open.ts'
import { sqliteOutbox } from '../sqlite/outbox.ts'
import { sqliteStore } from '../sqlite/store.ts'

/** What one household keeps, all of it in one database. */
export interface Kept {
  readonly store: Store
  readonly outbox: OutboxStore
  readonly devices: DeviceStore
}

export const storesOf = (db: Database): Kept => ({
  store: sqliteStore(db),
  outbox: sqliteOutbox(db),
  devices: sqliteDevices(db),
})

/** The invented household lives in a folder of its own and begins afresh each time. */
export function practiceStores(settings: Settings, log: Log): Kept {
  const folder = join(settings.data, 'practice')
  rmSync(folder, { recursive: true, force: true })
  return storesOf(openDatabase(folder, { log }))
}
