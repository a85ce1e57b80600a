import { join } from 'node:path'
import type { Instant } from '../../schemas/units.ts'
import type { Settings } from '../../schemas/settings.ts'
import type { Log } from '../ports/log.ts'
import type { PeopleStore } from '../ports/people.ts'
import { openOrRecover, type Opened, suspect } from '../sqlite/opening.ts'
import { sqlitePeople } from '../sqlite/people.ts'
import { isDamage } from '../sqlite/storage-error.ts'
import { type Kept, storesOf } from './stores.ts'

/** The household's database as it could be opened. */
export interface OpenKept extends Kept {
  readonly people: PeopleStore
  readonly opened: Pick<Opened, 'way' | 'sentence'>
  /** Where everything is in memory: puts it on the disk once that takes it, and says whether it did. */
  readonly bringBack: (() => Promise<boolean>) | null
  /** Called when a damage shows later; the next start looks through everything. */
  onDamage(listener: () => void): void
  close(): void
}

export const backupsFolderOf = ({ data, backup }: Settings): string => backup.folder ?? join(data, 'backups')

export function openKept(settings: Settings, now: Instant, log: Log): OpenKept {
  const { data } = settings
  const opened = openOrRecover(data, { now, backupsFolder: backupsFolderOf(settings), log })
  const { db, way, sentence } = opened
  const listeners: (() => void)[] = []
  let isDamaged = false
  const noteDamage = () => {
    if (isDamaged) return
    isDamaged = true
    try {
      if (way !== 'inMemory') suspect(data)
    } catch (cause) {
      log.warn({ err: cause }, 'The damage cannot be noted on the disk.')
    }
    for (const listener of listeners) listener()
  }
  const stores = storesOf(db)
  return {
    ...stores,
    store: noticingDamage(stores.store, noteDamage),
    diary: noticingDamage(stores.diary, noteDamage),
    people: sqlitePeople(db),
    opened: { way, sentence },
    bringBack: opened.way === 'inMemory' ? opened.bringBack : null,
    onDamage: (listener) => void listeners.push(listener),
    close: () => db.close(),
  }
}

/** A store, where each call that finds the database damaged is told before it fails. */
function noticingDamage<Some extends object>(store: Some, onDamage: () => void): Some {
  const watched = (name: keyof Some) => {
    const call = store[name] as (...given: unknown[]) => unknown
    return (...given: unknown[]): unknown => {
      try {
        return call(...given)
      } catch (cause) {
        if (isDamage(cause)) onDamage()
        throw cause
      }
    }
  }
  const names = Object.keys(store) as (keyof Some)[]
  return Object.fromEntries(names.map((name) => [name, watched(name)])) as unknown as Some
}
