import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { type Opened, openOrRecover } from '../../daemon/sqlite/opening.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { householdNamed, keepHouse, spoil } from '../support/kept-house.ts'
import { noSmallDisk, type SmallDisk, smallDisk } from '../support/small-disk.ts'
import {
  aReading,
  batchOf,
  clock,
  minute,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'
import { until } from '../support/until.ts'

const now = clock(31)
const unable = noSmallDisk()
const megabytes = 24

let disk: SmallDisk
let data: string
const path = () => join(data, databaseName)

type InMemory = Extract<Opened, { way: 'inMemory' }>
function openInMemory(): InMemory {
  const opened = openOrRecover(data, { now })
  if (opened.way !== 'inMemory') throw new Error(`opened ${opened.way}`)
  shelters.push(dirname(opened.db.name))
  return opened
}

const shelters: string[] = []
afterEach(() => {
  for (const folder of shelters.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** Takes all the room there is. */
const fill = (): void => {
  const ballast = join(disk.path, 'ballast')
  writeFileSync(ballast, '')
  for (let bytes = 4_194_304; bytes >= 4096; bytes /= 2)
    for (let i = 0; ; i++)
      try {
        writeFileSync(`${ballast}-${bytes}-${i}`, Buffer.alloc(bytes))
      } catch {
        rmSync(`${ballast}-${bytes}-${i}`, { force: true })
        break
      }
}
const makeRoom = (): void => {
  for (const name of readdirSync(disk.path)) if (name.startsWith('ballast')) rmSync(join(disk.path, name))
}

const faults = [
  ['read-only', () => disk.makeReadOnly(), () => disk.makeWritable(), /cannot be written to/],
  ['full', fill, makeRoom, /disk is full|cannot be read or written/],
] as const

// Without root there is no disk to fill or to make read-only
describe.skipIf(unable !== null).each(faults)('N2: with the disk %s', (_, breakDisk, mend, saying) => {
  let folderOfDb: string
  beforeEach(async () => {
    disk = smallDisk(megabytes)
    data = join(disk.path, 'data')
    mkdirSync(data)
    await keepHouse(data)
  })
  afterEach(() => disk.remove())

  test('everything is opened from memory, read and written, and brought back with nothing lost', async () => {
    breakDisk()
    const original = readFileSync(path())
    const opened = openInMemory()
    folderOfDb = dirname(opened.db.name)
    expect(opened.sentence).toMatch(saying)
    expect(opened.sentence).toMatch(/from memory until the disk takes it/)
    expect(folderOfDb.startsWith('/dev/shm/brumal-')).toBe(true)
    expect(statSync(folderOfDb).mode & 0o777).toBe(0o700)

    const store = sqliteStore(opened.db)
    expect(store.household()?.name).toBe('Now')
    expect(store.readings(probe, 'temperature', clock(0), clock(30))).toHaveLength(1800)
    store.commit({ ...batchOf(aReading(clock(31), 5)), household: householdNamed('Since then') })
    expect(await opened.bringBack()).toBe(false)
    store.commit(batchOf(aReading(clock(31) + minute, 6)))
    store.fold(clock(31), zonesByHand, 'folded in memory')
    expect(readFileSync(path()).equals(original)).toBe(true)

    mend()
    expect(await opened.bringBack()).toBe(true)
    expect(() => store.commit(batchOf(aReading(clock(32), 7)))).toThrow(
      expect.objectContaining({ name: 'StorageError' }) as Error,
    )
    store.close()
    expect(existsSync(folderOfDb)).toBe(false)
    expect(
      readdirSync(data)
        .filter((name) => !/-wal|-shm|lock/.test(name))
        .sort(),
    ).toEqual(['backups', databaseName, 'brumal.db.before-20260111T070000Z'])
    expect(readFileSync(join(data, 'brumal.db.before-20260111T070000Z')).equals(original)).toBe(true)

    const again = openOrRecover(data, { now })
    expect(again.way).toBe('asItWas')
    const back = sqliteStore(again.db)
    expect(back.household()?.name).toBe('Since then')
    expect(back.readings(probe, 'temperature', clock(0), clock(40))).toHaveLength(1802)
    expect(back.journal({ limit: 999 })).toHaveLength(150)
    expect(sqlitePeople(again.db).people()).toHaveLength(2)
    back.close()
  })

  test('what is committed while it is being brought back is brought back or refused, never forgotten', async () => {
    breakDisk()
    const opened = openInMemory()
    const store = sqliteStore(opened.db)
    mend()
    const taken: number[] = []
    let refused = 0
    let next = 0
    const committing = setInterval(() => {
      const at = clock(40) + next++ * minute
      try {
        store.commit(batchOf(aReading(at, 1)))
        taken.push(at)
      } catch {
        refused++
      }
    }, 0)
    await until(() => taken.length > 0, 'a commit before it begins')
    expect(await Promise.all([opened.bringBack(), opened.bringBack()])).toEqual([true, true])
    const before = refused
    await until(() => refused > before, 'a commit after the end') // it really went on after the end
    clearInterval(committing)
    expect(taken.length).toBeGreaterThan(0)
    store.close()
    const back = sqliteStore(openDatabase(data))
    expect(back.readings(probe, 'temperature', clock(40), clock(900)).map(({ at }) => at)).toEqual(taken)
    back.close()
  })

  test('what stood in the log when the power went is there too', () => {
    const db = openDatabase(data)
    const store = sqliteStore(db)
    store.commit({ readings: [], journal: [], household: householdNamed('In the log') })
    const [main, log] = [readFileSync(path()), readFileSync(`${path()}-wal`)]
    store.close()
    writeFileSync(path(), main)
    writeFileSync(`${path()}-wal`, log)
    breakDisk()
    const opened = openInMemory()
    expect(sqliteStore(opened.db).household()?.name).toBe('In the log')
    opened.db.close()
  })

  test('a damaged database is made anew in memory, from the backup, and left as it is on the disk', async () => {
    const spoilt = spoil(data, (bytes) => bytes.fill(0xa5))
    breakDisk()
    const opened = openInMemory()
    expect(opened.sentence).toMatch(/was damaged/)
    const store = sqliteStore(opened.db)
    expect(store.household()?.name).toBe('Before')
    mend()
    expect(await opened.bringBack()).toBe(true)
    store.close()
    expect(readFileSync(join(data, 'brumal.db.before-20260111T070000Z')).equals(spoilt)).toBe(true)
    const back = sqliteStore(openDatabase(data))
    expect(back.household()?.name).toBe('Before')
    back.close()
  })

  test('where there is no database yet it is an empty one, which is brought back', async () => {
    rmSync(data, { recursive: true })
    breakDisk()
    const opened = openInMemory()
    const store = sqliteStore(opened.db)
    expect(store.household()).toBeNull()
    store.commit({ readings: [], journal: [], household: householdNamed('Made in memory') })
    mend()
    expect(await opened.bringBack()).toBe(true)
    store.close()
    const back = sqliteStore(openDatabase(data))
    expect(back.household()?.name).toBe('Made in memory')
    expect(readdirSync(data).filter((name) => name.includes('before'))).toEqual([])
    back.close()
  })

  test('a database that came to light meanwhile is not set aside for what is in memory', async () => {
    const kept = readFileSync(path())
    rmSync(path())
    breakDisk()
    const opened = openInMemory()
    mend()
    writeFileSync(path(), kept)
    expect(await opened.bringBack()).toBe(false)
    opened.db.close()
    expect(readFileSync(path()).equals(kept)).toBe(true)
  })

  test('a daemon that is started again goes on with what the first one had in memory, and puts it on the disk', () => {
    breakDisk()
    // a child that dies with its memory full, as by a power key that only ends the program
    const first = childInMemory(data)
    expect(first).toMatch(/^\/dev\/shm\/brumal-/)
    shelters.push(first)

    const second = childInMemory(data)
    expect(second).toBe(first)
    mend()
    const opened = openOrRecover(data, { now })
    expect(opened.way).toBe('asItWas')
    const store = sqliteStore(opened.db)
    expect(store.readings(probe, 'temperature', clock(50), clock(60))).toHaveLength(2)
    store.close()
    expect(existsSync(first)).toBe(false)
    expect(readdirSync(data)).toContain('brumal.db.before-20260111T070000Z')
  })

  test('without a folder in memory that takes it the first refusal is thrown', () => {
    breakDisk()
    const shelters = [join(disk.path, 'nothing'), disk.path]
    expect(() => openOrRecover(data, { now, shelters })).toThrow(
      expect.objectContaining({
        name: 'StorageError',
        code: expect.stringMatching(/^diskIs(?:Full|ReadOnly|Failing)$/) as string,
      }) as Error,
    )
  })

  test('the lock holds nothing, and says so, rather than stop the daemon', () => {
    rmSync(data, { recursive: true })
    breakDisk()
    const lock = lockFolder(data)
    if (saying.test('The folder of the database cannot be written to.')) expect(lock.isHeld).toBe(false)
    lock.release()
    mend()
    const held = lockFolder(data)
    expect(held.isHeld).toBe(true)
    expect(() => lockFolder(data)).toThrow(expect.objectContaining({ code: 'folderIsTaken' }) as Error)
    held.release()
  })
})

/** Opens, commits one reading more than it finds, and is killed; gives the folder that it was in. */
function childInMemory(folder: string): string {
  const child = new URL('../support/in-memory-child.ts', import.meta.url).pathname
  const { stdout, stderr } = spawnSync(process.execPath, ['--import', 'tsx', child, folder], {
    encoding: 'utf8',
  })
  return stdout.trim() || stderr
}

test('N2: a data folder that cannot be made is watched over from memory', () => {
  const folder = temporaryFolder()
  writeFileSync(join(folder.path, 'file'), '')
  data = join(folder.path, 'file', 'data')
  expect(lockFolder(data).isHeld).toBe(false)
  const opened = openInMemory()
  expect(sqliteStore(opened.db).household()).toBeNull()
  opened.db.close()
  folder.remove()
})
