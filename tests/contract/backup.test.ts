import {
  chmodSync,
  existsSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import BetterSqlite from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { backUp, backupsIn, newestFirst, restoreFrom } from '../../daemon/sqlite/backup.ts'
import { backupName } from '../../daemon/sqlite/files.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import {
  aReading,
  batchOf,
  clock,
  openStore,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let data: string
let copies: string
beforeEach(() => {
  folder = temporaryFolder()
  data = join(folder.path, 'data')
  copies = join(folder.path, 'copies')
})
afterEach(() => folder.remove())

const at = (hours: number) => ({ now: clock(hours), keep: 14 })
const hours = (count: number) => Array.from({ length: count }, (_, i) => aReading(clock(i / 60), i / 100))
const readingsIn = (path: string): number => {
  const store = sqliteStore(openDatabase(path))
  try {
    return store.readings(probe, 'temperature', clock(0), clock(100)).length
  } finally {
    store.close()
  }
}

describe('a backup', () => {
  test('holds everything that was committed, folded or not, and is one private file', async () => {
    const { db, store } = openStore(data)
    store.commit(batchOf(...hours(180)))
    store.fold(clock(2), zonesByHand, 'folded')
    sqliteDiary(db).saveEntries([weighIn(812), feeding])
    sqliteDiary(db).savePicture(aPicture.id, aPicture, clock(2))
    const made = await backUp(data, copies, at(3))
    store.close()
    expect(readdirSync(copies)).toEqual(['brumal-20260110T030000Z.db'])
    expect(made).toMatchObject({
      path: join(copies, 'brumal-20260110T030000Z.db'),
      version: migrations.length,
    })
    expect(statSync(made.path).mode & 0o777).toBe(0o600)
    await restoreFrom(made.path, join(folder.path, 'new'), { now: clock(4), replaces: false })
    expect(readingsIn(join(folder.path, 'new'))).toBe(180)
    const back = openDatabase(join(folder.path, 'new'))
    expect(sqliteDiary(back).entries({})).toEqual([feeding, weighIn(812)])
    expect(sqliteDiary(back).picture(aPicture.id)?.bytes).toEqual(Buffer.from(aPicture.bytes))
    back.close()
  })

  test('taken while the daemon writes is a whole state: each commit is in it entirely or not at all', async () => {
    const { store } = openStore(data)
    store.commit(batchOf(...hours(600)))
    let count = 0
    const writing = setInterval(() => {
      count += 1
      const more = [0, 1, 2, 3].map((i) => aReading(clock(20 + count / 60) + i, i))
      store.commit({
        ...batchOf(...more),
        journal: [{ at: clock(20), kind: 'changed', by: 'Ada', text: `${count}` }],
      })
    }, 1)
    const made = []
    for (let i = 0; i < 5; i++) made.push(await backUp(data, copies, at(30 + i)))
    clearInterval(writing)
    store.close()
    expect(count).toBeGreaterThan(3) // it really was written to meanwhile
    for (const { path } of made) {
      const db = new BetterSqlite(path, { readonly: true })
      const lines = Number(db.prepare('SELECT count(*) FROM journal').pluck().get())
      const readings = Number(db.prepare('SELECT count(*) FROM hot').pluck().get())
      db.close()
      expect(readings).toBe(600 + 4 * lines)
    }
  })

  test('the newest stay, as many as asked for; other files are left alone', async () => {
    openStore(data).store.close()
    const { path } = await backUp(data, copies, at(0))
    writeFileSync(join(copies, 'brumal-notes.db'), 'mine')
    for (let i = 1; i <= 4; i++) await backUp(data, copies, { now: clock(i), keep: 3 })
    expect(backupsIn(copies, clock(4)).map((one) => one.slice(-19))).toEqual([
      '20260110T040000Z.db',
      '20260110T030000Z.db',
      '20260110T020000Z.db',
    ])
    expect(existsSync(path)).toBe(false)
    expect(readFileSync(join(copies, 'brumal-notes.db'), 'utf8')).toBe('mine')
  })

  test('N3: one from the future, made by a clock that was wrong, is the first to go and never the newest', async () => {
    openStore(data).store.close()
    const names = () => backupsIn(copies, clock(5)).map((one) => one.slice(-19))
    const ahead = clock(5 + 24 * 400)
    for (const now of [ahead, clock(1), clock(2)]) await backUp(data, copies, { now, keep: 3 })
    expect(names()).toEqual(['20260110T020000Z.db', '20260110T010000Z.db', backupName(ahead).slice(-19)])
    await backUp(data, copies, { now: clock(3), keep: 3 })
    expect(names()).toEqual(['20260110T030000Z.db', '20260110T020000Z.db', '20260110T010000Z.db'])
  })

  test('N3: order is by age among the past, then by stamp among the future; no two are lost or doubled', () => {
    const hour = fc.integer({ min: -1000, max: 1000 })
    fc.assert(
      fc.property(fc.uniqueArray(hour, { maxLength: 20 }), hour, (stamps, at) => {
        const now = clock(at)
        const order = stamps.map((one) => backupName(clock(one))).toSorted(newestFirst(now))
        const past = stamps.filter((one) => one <= at).toSorted((a, b) => b - a)
        const future = stamps.filter((one) => one > at).toSorted((a, b) => b - a)
        expect(order).toEqual([...past, ...future].map((one) => backupName(clock(one))))
      }),
    )
  })

  test('where nothing can be made says why and leaves no half of a copy', async () => {
    await expect(backUp(data, copies, at(0))).rejects.toMatchObject({ code: 'databaseIsMissing' })
    openStore(data).store.close()
    writeFileSync(copies, 'a file, not a folder')
    await expect(backUp(data, copies, at(0))).rejects.toMatchObject({ code: 'diskIsFailing' })
  })

  test('of a damaged database is refused, and what there was before stays', async () => {
    const { store } = openStore(data)
    store.commit(batchOf(...hours(5000)))
    store.close()
    const good = await backUp(data, copies, at(1))
    const path = join(data, databaseName)
    const bytes = readFileSync(path)
    bytes.fill(0xa5, 4096 * 20, 4096 * 24)
    writeFileSync(path, bytes)
    await expect(backUp(data, copies, at(2))).rejects.toMatchObject({ code: 'databaseIsDamaged' })
    expect(readdirSync(copies)).toEqual([good.path.slice(copies.length + 1)])
  })
})

describe('restoring', () => {
  async function aBackup(): Promise<string> {
    const { store } = openStore(data)
    store.commit(batchOf(...hours(60)))
    const { path } = await backUp(data, copies, at(2))
    store.commit(batchOf(...hours(120)))
    store.close()
    return path
  }

  test('refuses to write over a database without a word, and then sets it aside whole', async () => {
    const path = await aBackup()
    await expect(restoreFrom(path, data, { now: clock(5), replaces: false })).rejects.toMatchObject({
      code: 'databaseIsThere',
    })
    expect(readingsIn(data)).toBe(120)
    const { aside } = await restoreFrom(path, data, { now: clock(5), replaces: true })
    expect(readingsIn(data)).toBe(60)
    expect(aside).toBe('brumal.db.before-20260110T050000Z')
    await restoreFrom(join(data, aside ?? ''), join(folder.path, 'again'), { now: clock(6), replaces: false })
    expect(readingsIn(join(folder.path, 'again'))).toBe(120)
  })

  test('from a disk that cannot be written works, and changes nothing there', async () => {
    const path = await aBackup()
    chmodSync(path, 0o400)
    chmodSync(copies, 0o500)
    try {
      await restoreFrom(path, join(folder.path, 'new'), { now: clock(5), replaces: false })
      expect(readdirSync(copies)).toHaveLength(1)
    } finally {
      chmodSync(copies, 0o700)
    }
    expect(readingsIn(join(folder.path, 'new'))).toBe(60)
  })

  test('from a data folder as it was when the power went takes what stands in its log too', async () => {
    const { store } = openStore(data)
    store.commit(batchOf(...hours(60)))
    expect(statSync(`${join(data, databaseName)}-wal`).size).toBeGreaterThan(0)
    await restoreFrom(join(data, databaseName), join(folder.path, 'new'), { now: clock(5), replaces: false })
    store.close()
    expect(readingsIn(join(folder.path, 'new'))).toBe(60)
  })

  test('what is cut short, another program’s or newer is refused before anything is touched', async () => {
    const path = await aBackup()
    const cut = join(folder.path, 'cut.db')
    writeFileSync(cut, readFileSync(path))
    truncateSync(cut, 8192)
    const foreign = join(folder.path, 'foreign.db')
    new BetterSqlite(foreign).exec('CREATE TABLE x (y)').close()
    const newer = join(folder.path, 'newer.db')
    writeFileSync(newer, readFileSync(path))
    const db = new BetterSqlite(newer)
    db.pragma(`user_version = ${migrations.length + 1}`)
    db.close()
    const codeOf = (file: string) =>
      restoreFrom(file, data, { now: clock(5), replaces: true }).then(
        () => 'restored',
        (error: { code: string }) => error.code,
      )
    expect(await codeOf(cut)).toBe('databaseIsDamaged')
    expect(await codeOf(foreign)).toBe('databaseIsForeign')
    expect(await codeOf(newer)).toBe('databaseIsNewer')
    expect(await codeOf(join(folder.path, 'nothing.db'))).toBe('databaseIsMissing')
    expect(readdirSync(data).filter((name) => /half|before/.test(name))).toEqual([])
    expect(readingsIn(data)).toBe(120)
  })
})
