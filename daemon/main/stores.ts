import { rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { Settings } from '../../schemas/settings.ts'
import type { Instant } from '../../schemas/units.ts'
import { practiceDiary } from '../practice/diary.ts'
import type { DeviceStore } from '../ports/devices.ts'
import type { Log } from '../ports/log.ts'
import type { OutboxStore } from '../ports/outbox.ts'
import type { Store } from '../ports/store.ts'
import type { DiaryStore } from '../ports/season.ts'
import type { UpstreamStore } from '../ports/upstream.ts'
import { sqliteDevices } from '../sqlite/devices.ts'
import { sqliteDiary } from '../sqlite/diary.ts'
import { openDatabase } from '../sqlite/open.ts'
import { sqliteOutbox } from '../sqlite/outbox.ts'
import { sqliteStore } from '../sqlite/store.ts'
import { sqliteUpstream } from '../sqlite/upstream.ts'

/** What one household keeps, all of it in one database. */
export interface Kept {
  readonly store: Store
  readonly outbox: OutboxStore
  readonly devices: DeviceStore
  readonly diary: DiaryStore
  readonly upstream: UpstreamStore
}

export const storesOf = (db: Database): Kept => ({
  store: sqliteStore(db),
  outbox: sqliteOutbox(db),
  devices: sqliteDevices(db),
  diary: sqliteDiary(db),
  upstream: sqliteUpstream(db),
})

/** The invented household lives in a folder of its own and begins afresh each time. */
export function practiceStores(settings: Settings, now: Instant, log: Log): Kept {
  const folder = join(settings.data, 'practice')
  rmSync(folder, { recursive: true, force: true })
  const kept = storesOf(openDatabase(folder, { log }))
  kept.diary.saveEntries(practiceDiary(now))
  return kept
}
