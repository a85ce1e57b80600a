import { existsSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'
import { bringBackTo, takeBack } from './bring-back.ts'
import { sizeOf } from './files.ts'
import { look } from './look.ts'
import { databaseName, openDatabase } from './open.ts'
import { recover } from './recover.ts'
import { makeShelter, shelterLeft } from './shelter.ts'
import { isDamage, isDiskFault, storageError, type StorageError, tried } from './storage-error.ts'

export type Opened =
  | { readonly db: Database; readonly way: 'asItWas'; readonly sentence: null; readonly aside: null }
  | {
      readonly db: Database
      readonly way: 'recovered'
      readonly sentence: string
      /** Name of the file that was set aside. */
      readonly aside: string | null
    }
  | {
      readonly db: Database
      readonly way: 'inMemory'
      readonly sentence: string
      readonly aside: null
      /**
       * Tries whether the folder can be written again, and if so puts everything there; what was there is set aside.
       * True when it is done: `db` takes nothing more from then on, and the caller closes it and opens the folder anew.
       */
      readonly bringBack: () => Promise<boolean>
    }

interface World {
  readonly now: Instant
  /** Where backups are, and where the copy before a migration goes; `backups` in the data folder when undefined. */
  readonly backupsFolder?: string | undefined
  readonly log?: Log | undefined
  /** Folders in memory, the first that takes it is taken. */
  readonly shelters?: readonly string[] | undefined
}

/**
 * Opens the database of `data` so that watching goes on (N2): one that is damaged is set aside and made anew from what
 * there is; where the disk does not take or give anything, it is kept in memory until it does. Throws a `StorageError`
 * where another Brumal, another program or a newer one has the folder, and where there is no room even in memory.
 */
export function openOrRecover(data: string, world: World): Opened {
  try {
    return openThere(data, world)
  } catch (cause) {
    const error = storageError(`opening ${data}`, cause)
    if (!isDiskFault(error)) throw error
    return openInMemory(data, world, error)
  }
}

/** Notes that the database of `data` is damaged, for the next opening to look through it whole. */
export function suspect(data: string): void {
  tried('noting that the database is damaged', () => writeFileSync(markerOf(data), '', { mode: 0o600 }))
}

const markerOf = (data: string): string => join(data, `${databaseName}.suspect`)

function openThere(data: string, world: World): Opened {
  const { now, backupsFolder, log } = world
  const marker = markerOf(data)
  try {
    const left = shelterLeft(data, sheltersOf(world))
    if (left !== null) takeBack(left, join(data, databaseName), world)
    if (existsSync(marker)) {
      tried('looking through the database', () => look(join(data, databaseName), 'everything'))
      rmSync(marker)
    }
    const db = openDatabase(data, { log, now, backupsFolder })
    return { db, way: 'asItWas', sentence: null, aside: null }
  } catch (cause) {
    if (!isDamage(cause)) throw cause
    const { aside, sentence } = recover(data, { folders: backupFolders(data, backupsFolder), now, log })
    rmSync(marker, { force: true })
    log?.error({ aside, cause: String(cause) }, sentence)
    return { db: openDatabase(data, { log, now, backupsFolder }), way: 'recovered', sentence, aside }
  }
}

const backupFolders = (data: string, told: string | undefined): readonly string[] => [
  ...new Set([told ?? join(data, 'backups'), join(data, 'backups')]),
]

const sheltersOf = ({ shelters }: World): readonly string[] => shelters ?? ['/dev/shm', tmpdir()]

function openInMemory(data: string, world: World, why: StorageError): Opened {
  const { now, backupsFolder, log } = world
  const roots = sheltersOf(world)
  const shelter = shelterLeft(data, roots) ?? makeShelter(data, roots)
  if (shelter === null) throw why
  const { folder } = shelter
  const use = { log, now, backupsFolder: null } // what is on the disk is the copy
  const anew = (): string =>
    recover(folder, { folders: backupFolders(data, backupsFolder), now, log }).sentence
  try {
    const isUnread = sizeOf(join(data, databaseName)) > 0 && sizeOf(join(folder, databaseName)) === 0
    let what = isUnread ? anew() : null
    let db: Database
    try {
      db = openDatabase(folder, use)
    } catch (cause) {
      if (!isDamage(cause)) throw cause
      what = anew()
      db = openDatabase(folder, use)
    }
    const sentence = [
      why.message,
      ...(what === null ? [] : [what]),
      'Brumal goes on from memory until the disk takes it: what comes in until then is lost if this machine stops.',
    ].join(' ')
    log?.error({ data, code: why.code }, sentence)
    return {
      db,
      way: 'inMemory',
      sentence,
      aside: null,
      bringBack: bringBackTo(data, db, shelter, { now, log }),
    }
  } catch (cause) {
    if (shelter.isLeft) shelter.release()
    else shelter.remove()
    throw cause
  }
}
