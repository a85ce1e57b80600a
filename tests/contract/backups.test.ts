import { existsSync, mkdirSync, readdirSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { diskSpace } from '../../daemon/host/disk-space.ts'
import { sqliteBackups } from '../../daemon/sqlite/backups.ts'
import { doCopyJob } from '../../daemon/sqlite/copy-jobs.ts'
import { later, minutes } from '../../schemas/amounts.ts'
import { BackupLine } from '../../schemas/keeping.ts'
import { noSmallDisk, smallDisk } from '../support/small-disk.ts'
import { aReading, batchOf, clock, openStore, temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let data: string
let copies: string
const unable = noSmallDisk()
/** Nobody gives it up. */
const never = new AbortController().signal

beforeEach(() => {
  folder = temporaryFolder()
  data = join(folder.path, 'data')
  copies = join(folder.path, 'copies')
  const { store } = openStore(data)
  store.commit(batchOf(aReading(clock(1), 1)))
  store.close()
})
afterEach(() => folder.remove())

// In this process: that it is done apart is another file's to test
const backupsTo = (to: string, more: { keep?: number; ownDisk?: boolean } = {}) =>
  sqliteBackups(data, { folder: to, keep: 3, ownDisk: false, ...more }, doCopyJob)

describe('N1: backups', () => {
  test('are made, listed newest first with their time and size, and the oldest goes', async () => {
    const backups = backupsTo(copies)
    expect(backups.folder).toBe(copies)
    const list = () => backups.list(clock(5), never)
    expect(await list()).toEqual([])
    for (let i = 0; i < 4; i++) {
      const made = await backups.make(clock(i), never)
      expect(BackupLine.parse(made)).toEqual((await list())[0])
      expect(made.bytes).toBe(statSync(join(copies, made.name)).size)
    }
    expect((await list()).map(({ at }) => at)).toEqual([clock(3), clock(2), clock(1)])
    expect((await list())[0]?.name).toBe('brumal-20260110T030000Z.db')
  })

  test('N3: one that a wrong clock stamped with the future is listed last, and is the first that goes', async () => {
    const backups = backupsTo(copies)
    const ahead = clock(24 * 400)
    await backups.make(ahead, never)
    const ats = async () => (await backups.list(clock(5), never)).map(({ at }) => at)
    for (const hour of [1, 2]) await backups.make(clock(hour), never)
    expect(await ats()).toEqual([clock(2), clock(1), ahead])
    await backups.make(clock(3), never)
    expect(await ats()).toEqual([clock(3), clock(2), clock(1)])
  })

  test('a half that was left by a death goes at the next one; one that still grows stays', async () => {
    mkdirSync(copies)
    const now = clock(5)
    const lay = (name: string, changed: number) => {
      writeFileSync(join(copies, name), 'half')
      utimesSync(join(copies, name), changed / 1000, changed / 1000)
    }
    lay('brumal-20260110T010000Z.db.half', later(now, -minutes(10)))
    lay('brumal-20260110T010000Z.db.half-journal', later(now, -minutes(10)))
    lay('brumal-20260110T045900Z.db.half', later(now, 1 - minutes(10)))
    lay('notes.half', clock(0))
    await backupsTo(copies).make(now, never)
    expect(readdirSync(copies).sort()).toEqual([
      'brumal-20260110T045900Z.db.half',
      'brumal-20260110T050000Z.db',
      'notes.half',
    ])
  })

  test('on a disk of their own are refused in a sentence on the disk of the data', async () => {
    const backups = backupsTo(join(copies, 'of', 'brumal'), { ownDisk: true })
    await expect(backups.make(clock(1), never)).rejects.toMatchObject({
      name: 'StorageError',
      code: 'diskIsTheSame',
      message: `${join(copies, 'of', 'brumal')} is on the same disk as the data: is the second disk mounted?`,
    })
    expect(existsSync(copies)).toBe(false)
  })

  // Without root there is no second disk
  test.skipIf(unable !== null)(
    'on a disk of their own are made there, and refused once it is gone',
    async () => {
      const disk = smallDisk(8)
      const backups = backupsTo(join(disk.path, 'brumal'), { ownDisk: true })
      await backups.make(clock(1), never)
      expect(await backups.list(clock(5), never)).toHaveLength(1)
      disk.makeReadOnly()
      await expect(backups.make(clock(2), never)).rejects.toMatchObject({ code: 'diskIsReadOnly' })
      disk.remove()
      await expect(backups.make(clock(3), never)).rejects.toMatchObject({ code: 'diskIsTheSame' })
    },
  )

  test('a folder that cannot be read is named, not taken for an empty one', async () => {
    writeFileSync(copies, 'a file')
    await expect(backupsTo(copies).list(clock(1), never)).rejects.toMatchObject({ name: 'StorageError' })
  })
})

describe('N1: the room on a disk', () => {
  test.skipIf(unable !== null)('is what the file system says, and less when something is written', () => {
    const disk = smallDisk(8)
    const space = diskSpace(disk.path)
    expect(space()).toEqual({ freeBytes: 8 * 1024 * 1024, totalBytes: 8 * 1024 * 1024 })
    writeFileSync(join(disk.path, 'file'), Buffer.alloc(1024 * 1024))
    expect(space()).toEqual({ freeBytes: 7 * 1024 * 1024, totalBytes: 8 * 1024 * 1024 })
    disk.remove()
  })

  test('is not known where there is no folder', () => {
    expect(diskSpace(join(folder.path, 'nothing'))()).toBeNull()
  })
})
