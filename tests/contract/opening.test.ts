import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite from 'better-sqlite3'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { sqliteDevices } from '../../daemon/sqlite/devices.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { type Opened, openOrRecover, suspect } from '../../daemon/sqlite/opening.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { isDamage } from '../../daemon/sqlite/storage-error.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import {
  copyHouse,
  householdNamed,
  keepHouse,
  pageBytesOf,
  quickFolder,
  spoil,
} from '../support/kept-house.ts'
import { instant } from '../../schemas/amounts.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import { EntryId } from '../../schemas/ids.ts'
import { clock, probe, zonesByHand } from '../support/store-world.ts'
import { phone, waitingParcel } from '../support/waiting-parcel.ts'

const house = quickFolder()
let folder: ReturnType<typeof quickFolder>
let data: string
let pageBytes: number
const now = clock(31)
const path = () => join(data, databaseName)

beforeAll(async () => {
  await keepHouse(house.path)
  pageBytes = pageBytesOf(house.path)
})
afterAll(() => house.remove())
beforeEach(() => {
  folder = quickFolder()
  data = join(folder.path, 'data')
  copyHouse(house.path, data)
})
afterEach(() => folder.remove())

/** Opens, reads everything that can be read, closes. */
function openAndRead(): { opened: Opened; name: string | undefined; damage: unknown } {
  const opened = openOrRecover(data, { now })
  const store = sqliteStore(opened.db)
  let name: string | undefined
  let damage: unknown = null
  try {
    name = store.household()?.name
    store.resume()
    store.readings(probe, 'temperature', clock(0), clock(100))
    store.summaries(probe, 'temperature', [{ from: clock(0), to: clock(30) }], zonesByHand)
    store.journal({ limit: 1000 })
    sqlitePeople(opened.db).people()
    sqliteOutbox(opened.db).waiting()
    sqliteDiary(opened.db).entries({})
  } catch (cause) {
    if (!isDamage(cause)) throw cause
    damage = cause
  }
  store.close()
  return { opened, name, damage }
}

const pagesOf = (): { readonly page: number; readonly table: string }[] => {
  const db = new BetterSqlite(join(house.path, databaseName), { readonly: true })
  const pages = db
    .prepare<[], { page: number; table: string }>(
      'SELECT pageno AS page, name AS "table" FROM dbstat ORDER BY pageno',
    )
    .all()
  db.close()
  return pages
}

describe('N2: a database that is sound', () => {
  test('opens as it was, and says nothing', () => {
    const { opened, name } = openAndRead()
    expect(opened).toMatchObject({ way: 'asItWas', sentence: null, aside: null })
    expect(name).toBe('Now')
    expect(readdirSync(data).sort()).toEqual(['backups', databaseName])
  })

  test('that was suspected is looked through whole, found sound and not suspected any more', () => {
    suspect(data)
    expect(openAndRead().opened.way).toBe('asItWas')
    expect(readdirSync(data).sort()).toEqual(['backups', databaseName])
  })
})

describe('N2: a damaged database', () => {
  const kinds: readonly (readonly [string, (page: Buffer) => void])[] = [
    ['zeroed', (page) => page.fill(0)],
    ['overwritten in its second half', (page) => page.fill(0x5a, pageBytes / 2)],
    ['changed in one byte of its head', (page) => void (page[5] = (page[5] ?? 0) ^ 0xff)],
    [
      'changed in one byte of its end',
      (page) => void (page[pageBytes - 40] = (page[pageBytes - 40] ?? 0) ^ 0x11),
    ],
  ]

  test.each(kinds)(
    'with any one page %s is opened all the same, its household with it, and stays as it was found under its new name',
    (_, damage) => {
      const pages = pagesOf()
      expect(pages.length).toBeGreaterThan(20)
      let recovered = 0
      for (const { page, table } of pages) {
        rmSync(data, { recursive: true })
        copyHouse(house.path, data)
        spoil(data, (bytes) => damage(bytes.subarray((page - 1) * pageBytes, page * pageBytes)))
        let asFound = readFileSync(path())
        let { opened, name, damage: found } = openAndRead()
        if (found !== null) {
          // met at run time only: the caller says so, and the next opening looks through everything
          suspect(data)
          asFound = readFileSync(path())
          ;({ opened, name, damage: found } = openAndRead())
          expect(opened.way, `page ${page} of ${table}`).toBe('recovered')
        }
        const what = `page ${page} of ${table}: ${opened.sentence ?? 'as it was'}`
        expect(found, what).toBeNull()
        expect(['Now', 'Before'], what).toContain(name)
        if (!['household', 'sqlite_schema'].includes(table)) expect(name, what).toBe('Now')
        if (opened.way !== 'recovered') continue
        recovered++
        expect(opened.aside, what).toMatch(/^brumal\.db\.damaged-20260111T070000Z$/)
        expect(opened.sentence).toContain(`set aside as ${opened.aside ?? ''}`)
        expect(readFileSync(join(data, opened.aside ?? '')).equals(asFound), what).toBe(true)
      }
      expect(recovered).toBeGreaterThan(5)
    },
    60_000,
  )

  test('with any one byte of its header changed is opened all the same, with the household', () => {
    const sound = readFileSync(path())
    let recovered = 0
    for (let offset = 0; offset < 100; offset++) {
      for (const name of readdirSync(data)) if (name !== 'backups') rmSync(join(data, name))
      writeFileSync(path(), sound)
      const spoilt = spoil(data, (bytes) => void (bytes[offset] = (bytes[offset] ?? 0) ^ 0xff))
      const { opened, name, damage } = openAndRead()
      expect(damage, `byte ${offset}`).toBeNull()
      expect(['Now', 'Before'], `byte ${offset}`).toContain(name)
      if (opened.way === 'asItWas') continue
      recovered++
      expect(opened.way, `byte ${offset}`).toBe('recovered')
      expect(readFileSync(join(data, opened.aside ?? '')).equals(spoilt), `byte ${offset}`).toBe(true)
    }
    expect(recovered).toBeGreaterThan(30)
  }, 60_000)

  const overwrite = (table: string) => {
    const pages = pagesOf().filter((one) => one.table === table)
    expect(pages).not.toEqual([])
    for (const { page } of pages)
      spoil(data, (bytes) => bytes.fill(0xa5, (page - 1) * pageBytes, page * pageBytes))
  }

  test('loses nothing but what stood in the damaged place: the rest of it comes over the backup', () => {
    overwrite('household')
    const { db, sentence } = openOrRecover(data, { now })
    const store = sqliteStore(db)
    expect(sentence).toBe(
      `${path()} was damaged and is set aside as brumal.db.damaged-20260111T070000Z; it goes on with the backup of 2026-01-10 21:00 UTC and the readings that could still be read.`,
    )
    expect(store.household()?.name).toBe('Before')
    expect(store.readings(probe, 'temperature', clock(0), clock(30))).toHaveLength(1800)
    expect(store.resume()).toEqual({ snapshot: 'folded at 28', since: [] })
    expect(store.unfolded()).toBe(120)
    expect(store.journal({ limit: 999 })).toHaveLength(150)
    expect(
      sqlitePeople(db)
        .people()
        .map(({ name, passwordHash }) => `${name} ${passwordHash}`),
    ).toEqual(['Ada new hash', 'Ben hash'])
    expect(sqlitePeople(db).secret('linkKey', () => 'another')).toBe('a key')
    expect(sqliteOutbox(db).channelSecret(phone)).toEqual({ kind: 'relay', token: 'a relay token' })
    expect(sqliteOutbox(db).rungAt(phone)).toBe(clock(22))
    expect(sqliteOutbox(db).waiting()).toEqual([waitingParcel('waits')])
    expect(
      sqliteDevices(db)
        .devices()
        .map(({ name }) => name),
    ).toEqual(['probe-1'])
    expect(sqliteDiary(db).entries({})).toEqual([feeding, weighIn(821)])
    expect(sqliteDiary(db).picture(aPicture.id)?.bytes).toEqual(Buffer.from(aPicture.bytes))
    store.close()
  })

  test('with its diary damaged has the rows that can be read over those of the backup, and every picture', () => {
    const db = openDatabase(data)
    const many = Array.from({ length: 300 }, (_, i) => ({
      ...feeding,
      id: EntryId.parse(`feeding-${i}`),
      at: instant(feeding.at + i),
    }))
    const diary = sqliteDiary(db)
    diary.saveEntries(many)
    diary.removeEntries([weighIn(0).id], 'Ada', clock(23))
    const [page] = db
      .prepare<[], number>("SELECT pageno FROM dbstat WHERE name = 'diary' AND pagetype = 'leaf'")
      .pluck()
      .all()
      .slice(5, 6)
    db.close()
    spoil(data, (bytes) => bytes.fill(0xa5, ((page ?? 0) - 1) * pageBytes, (page ?? 0) * pageBytes))
    suspect(data)
    const { db: mended, way } = openOrRecover(data, { now })
    expect(way).toBe('recovered')
    const left = sqliteDiary(mended).entries({})
    expect(left.length).toBeGreaterThan(270)
    expect(left.length).toBeLessThan(301)
    expect(left.map(({ id }) => id)).not.toContain(weighIn(0).id)
    const known = new Map<string, DiaryLine>([...many, feeding].map((line) => [line.id, line]))
    for (const line of left) expect(line).toEqual(known.get(line.id))
    expect(sqliteDiary(mended).picture(aPicture.id)).not.toBeNull()
    mended.close()
  })

  test('L7: the last state of the watch comes with all that waited, or the older one with what can be read', () => {
    overwrite('hot')
    const { db } = openOrRecover(data, { now })
    const store = sqliteStore(db)
    expect(store.household()?.name).toBe('Now')
    expect(store.resume()).toEqual({ snapshot: 'folded at 20', since: [] })
    expect(store.readings(probe, 'temperature', clock(0), clock(28))).toHaveLength(1680)
    store.close()
  })

  test('without a backup goes on with a new database and what can still be read', () => {
    rmSync(join(data, 'backups'), { recursive: true })
    overwrite('snapshot')
    const { opened, name } = openAndRead()
    expect(opened.sentence).toMatch(
      /goes on with a new database, the household as it was last saved and the readings/,
    )
    expect(name).toBe('Now')
  })

  test('of which nothing can be read, without a backup, is set aside for an empty one', () => {
    rmSync(join(data, 'backups'), { recursive: true })
    const bytes = spoil(data, (all) => all.fill(0xa5))
    const { opened, name } = openAndRead()
    expect(opened).toMatchObject({ way: 'recovered', aside: 'brumal.db.damaged-20260111T070000Z' })
    expect(opened.sentence).toMatch(/goes on with a new database\.$/)
    expect(name).toBeUndefined()
    expect(readFileSync(join(data, 'brumal.db.damaged-20260111T070000Z')).equals(bytes)).toBe(true)
  })

  test('a backup that is damaged too is passed over for the one before it', () => {
    const backups = join(data, 'backups')
    const good = join(backups, 'brumal-20260110T210000Z.db')
    const bad = readFileSync(good)
    bad.fill(0xa5, pageBytes * 5, pageBytes * 9)
    writeFileSync(join(backups, 'brumal-20260111T030000Z.db'), bad)
    writeFileSync(join(backups, 'brumal-20260111T040000Z.db'), '')
    spoil(data, (all) => all.fill(0xa5))
    const { opened, name } = openAndRead()
    expect(opened.sentence).toMatch(/the backup of 2026-01-10 21:00 UTC\.$/)
    expect(name).toBe('Before')
    expect(readdirSync(backups)).toHaveLength(3)
  })

  test('a backup of an older schema is brought up to date', () => {
    const backups = join(data, 'backups')
    writeFileSync(
      join(backups, 'brumal-20260111T030000Z.db'),
      readFileSync(new URL('../../fixtures/databases/v1.db', import.meta.url)),
    )
    spoil(data, (all) => all.fill(0xa5))
    const { opened, name } = openAndRead()
    expect(opened.sentence).toMatch(/the backup of 2026-01-11 03:00 UTC\.$/)
    expect(name).toBe('The house of the first schema')
  })

  test('of an older schema is set aside before anything is brought up to date', () => {
    const v1 = readFileSync(new URL('../../fixtures/databases/v1.db', import.meta.url))
    writeFileSync(path(), v1)
    const spoilt = spoil(data, (bytes) => bytes.fill(0xa5, bytes.length - 3 * pageBytes))
    const { opened } = openAndRead()
    expect(opened.way).toBe('recovered')
    expect(readFileSync(join(data, opened.aside ?? '')).equals(spoilt)).toBe(true)
  })

  test('with its log beside it is set aside with it', () => {
    const { db, store } = openStoreHere()
    store.commit({ readings: [], journal: [], household: householdNamed('In the log') })
    const log = readFileSync(`${path()}-wal`)
    const main = readFileSync(path())
    store.close()
    expect(db.open).toBe(false)
    writeFileSync(path(), main)
    writeFileSync(`${path()}-wal`, log)
    const page = pagesOf().find(({ table }) => table === 'hot')?.page ?? 0
    const spoilt = spoil(data, (bytes) => bytes.fill(0xa5, (page - 1) * pageBytes, page * pageBytes))
    const { opened, name } = openAndRead()
    expect(opened.way).toBe('recovered')
    expect(name).toBe('In the log')
    const aside = join(data, opened.aside ?? '')
    expect(readFileSync(aside).equals(spoilt)).toBe(true)
    expect(readFileSync(`${aside}-wal`).equals(log)).toBe(true)
  })

  test('X1: sign-ins are as they were or over, never those of the backup come to life again', () => {
    overwrite('session')
    const { db } = openOrRecover(data, { now })
    expect(sqlitePeople(db).sessions()).toEqual([])
    expect(sqlitePeople(db).people()).toHaveLength(2)
    db.close()
  })

  test('two within one second are set aside under two names', () => {
    for (const name of ['brumal.db.damaged-20260111T070000Z', 'brumal.db.damaged-20260111T070000Z-2']) {
      overwrite('snapshot')
      const opened = openOrRecover(data, { now })
      expect(opened.aside).toBe(name)
      opened.db.close()
      writeFileSync(path(), readFileSync(join(house.path, databaseName)))
    }
  })

  test('a death between the renames is made good at the next opening', () => {
    // as it stands when the old file is set aside and the new one has yet to take its place
    const coming = readFileSync(path())
    rmSync(path())
    writeFileSync(join(data, 'brumal.db.damaged-20260111T060000Z'), 'what was damaged')
    writeFileSync(`${path()}-wal`, 'its log, which was not moved yet')
    writeFileSync(join(data, 'brumal.db.new.damaged-20260111T060000Z'), coming)
    const { opened, name } = openAndRead()
    expect(opened.way).toBe('asItWas')
    expect(name).toBe('Now')
    expect(readFileSync(join(data, 'brumal.db.damaged-20260111T060000Z-wal'), 'utf8')).toMatch(/^its log/)
    expect(readdirSync(data).filter((one) => one.includes('new'))).toEqual([])
  })

  test('one of another program and one of a newer are refused as ever, and left alone', () => {
    const refused = (code: string) => expect.objectContaining({ name: 'StorageError', code }) as Error
    const db = openDatabase(data)
    db.pragma(`user_version = ${migrations.length + 1}`)
    db.close()
    const bytes = readFileSync(path())
    expect(() => openOrRecover(data, { now })).toThrow(refused('databaseIsNewer'))
    expect(readFileSync(path()).equals(bytes)).toBe(true)
    rmSync(data, { recursive: true })
    mkdirSync(data)
    new BetterSqlite(path()).exec('CREATE TABLE recipe (name TEXT)').close()
    expect(() => openOrRecover(data, { now })).toThrow(refused('databaseIsForeign'))
    expect(readdirSync(data).sort()).toEqual([databaseName])
  })
})

function openStoreHere() {
  const db = openDatabase(data)
  return { db, store: sqliteStore(db) }
}

describe('a database of an older schema', () => {
  const put = (version: number) => {
    rmSync(data, { recursive: true })
    mkdirSync(data)
    writeFileSync(path(), readFileSync(new URL(`../../fixtures/databases/v${version}.db`, import.meta.url)))
  }

  test('is copied whole among the backups before it is brought up to date', () => {
    put(1)
    const { opened } = openAndRead()
    expect(opened.way).toBe('asItWas')
    const copy = join(data, 'backups', 'brumal-20260111T070000Z.db')
    expect(readdirSync(join(data, 'backups'))).toEqual(['brumal-20260111T070000Z.db'])
    expect(statSync(copy).mode & 0o777).toBe(0o600)
    const kept = new BetterSqlite(copy, { readonly: true })
    expect(kept.pragma('user_version', { simple: true })).toBe(1)
    expect(kept.prepare('SELECT count(*) FROM hot').pluck().get()).toBe(2)
    expect(kept.prepare('SELECT name FROM person').pluck().all()).toEqual(['Ada'])
    kept.close()
  })

  test('one that is new, or of this schema already, is not copied', () => {
    openAndRead()
    expect(readdirSync(join(data, 'backups'))).toEqual(['brumal-20260110T210000Z.db'])
    rmSync(data, { recursive: true })
    openAndRead()
    expect(existsSync(join(data, 'backups'))).toBe(false)
  })

  test('stays as it was when the copy cannot be made, in a sentence that names both', () => {
    put(1)
    const before = readFileSync(path())
    const backupsFolder = join(folder.path, 'a file')
    writeFileSync(backupsFolder, '')
    expect(() => openDatabase(data, { now, backupsFolder })).toThrow(
      expect.objectContaining({ name: 'StorageError', code: 'diskIsFailing' }) as Error,
    )
    expect(() => openDatabase(data, { now, backupsFolder })).toThrow(
      `${path()} (schema 1) was not brought up to date, because no copy of it could be made in ${backupsFolder}`,
    )
    expect(readFileSync(path()).equals(before)).toBe(true)
  })

  test('is watched over from memory then, brought up to date there, and comes back with the old one kept', async () => {
    put(1)
    const before = readFileSync(path())
    const backupsFolder = join(folder.path, 'a file')
    writeFileSync(backupsFolder, '')
    const opened = openOrRecover(data, { now, backupsFolder })
    if (opened.way !== 'inMemory') throw new Error(`opened ${opened.way}`)
    expect(opened.db.pragma('user_version', { simple: true })).toBe(migrations.length)
    expect(readFileSync(path()).equals(before)).toBe(true)
    expect(await opened.bringBack()).toBe(true)
    opened.db.close()
    expect(openAndRead().name).toBe('The house of the first schema')
    expect(readFileSync(join(data, 'brumal.db.before-20260111T070000Z')).equals(before)).toBe(true)
  })

  test('a migration that fails leaves no pile of copies behind', () => {
    put(1)
    const inTheWay = new BetterSqlite(path())
    inTheWay.exec('CREATE TABLE device (name TEXT)')
    inTheWay.close()
    for (let i = 0; i < 3; i++)
      expect(() => openDatabase(data, { now: clock(31 + i) })).toThrow(/device already exists/)
    expect(readdirSync(join(data, 'backups'))).toEqual([])
  })
})
