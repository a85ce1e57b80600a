import { spawn, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { copyFileSync, statSync, truncateSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { clock, openStore, temporaryFolder, zonesByHand } from '../support/store-world.ts'
import { groupSize, messageOf, numbered, sensors } from '../support/committing-child.ts'

const kills = 24
const cuts = 140

let folder: ReturnType<typeof temporaryFolder>
const children: ChildProcess[] = []
beforeEach(() => {
  folder = temporaryFolder()
})
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL') // nothing is left running when a test fails half-way
  folder.remove()
})

interface Found {
  readonly readings: readonly number[]
  readonly journal: readonly number[]
  /** Newest first, as the journal. */
  readonly messages: readonly number[]
  readonly waiting: readonly number[]
  readonly snapshot: number | null
  readonly since: readonly number[]
  readonly integrity: unknown
  readonly synchronous: unknown
}

/** Everything that a folder holds, by the numbers of the readings. */
function look(path: string): Found {
  const { db, store } = openStore(path)
  const outbox = sqliteOutbox(db)
  try {
    const { snapshot, since } = store.resume()
    return {
      readings: sensors
        .flatMap((sensor) => store.readings(sensor, 'temperature', clock(0), clock(100_000)))
        .map(({ value }) => value)
        .sort((a, b) => a - b),
      journal: store.journal({ limit: 1_000_000 }).map(({ value }) => value ?? -1),
      messages: outbox.recent(1_000_000).map(({ key }) => Number(key)),
      waiting: outbox.waiting().map(({ key }) => Number(key)),
      snapshot: snapshot === null ? null : Number(snapshot),
      since: since.map(({ value }) => value),
      integrity: db.pragma('integrity_check', { simple: true }),
      synchronous: db.pragma('synchronous', { simple: true }),
    }
  } finally {
    store.close()
  }
}

/** Whole groups only, each reading once, journal, messages and snapshot of the same commits; says how many readings. */
function expectWholeGroups(found: Found): number {
  const count = found.readings.length
  expect(found.integrity).toBe('ok')
  expect(found.synchronous).toBe(2)
  expect(count % groupSize).toBe(0)
  expect(found.readings).toEqual(Array.from({ length: count }, (_, n) => n))
  const groups = count / groupSize
  expect(found.journal).toEqual(Array.from({ length: groups }, (_, i) => (groups - i) * groupSize - 1))
  expect(found.messages).toEqual(found.journal) // a message and its journal line: both or neither
  const seen = (found.snapshot ?? -1) + 1
  expect(found.since).toEqual(Array.from({ length: count - seen }, (_, i) => seen + i))
  return count
}

const childPath = fileURLToPath(new URL('../support/committing-child.ts', import.meta.url))

function startChild(path: string, from: number): ChildProcess {
  const child = spawn(process.execPath, ['--import', 'tsx', childPath, path, 'commit', String(from)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  children.push(child)
  return child
}

/** Lets the child commit `groups` groups, kills it, and gives the newest number that it said was committed. */
async function killAfter(child: ChildProcess, groups: number): Promise<number> {
  const exit = once(child, 'exit')
  let newest = -1
  let left = groups
  if (!child.stdout) throw new Error('the child has no output')
  for await (const line of createInterface({ input: child.stdout })) {
    newest = Number(line)
    if (--left === 0) child.kill('SIGKILL') // what it prints until it dies is acknowledged too
  }
  expect(await exit).toEqual([null, 'SIGKILL'])
  return newest
}

describe('a daemon that is killed', () => {
  test(`keeps every acknowledged reading once, and each message with its line, ${kills} kills in a row`, {
    timeout: 180_000,
  }, async () => {
    let stored = 0
    for (let kill = 1; kill <= kills; kill++) {
      const acknowledged = await killAfter(startChild(folder.path, stored), 1 + ((kill * 7) % 23))
      const seen = look(folder.path)
      const found = expectWholeGroups(seen)
      // at most the last one had no time to go out; the rest did, and what went out does not wait again
      expect([[], [found - 1]]).toContainEqual(seen.waiting.filter((newest) => newest >= stored))
      expect(acknowledged).toBeGreaterThanOrEqual(stored)
      expect(found).toBeGreaterThan(acknowledged)
      stored = found
    }
  })

  test('holds its folder alone while it lives, and frees it by dying', { timeout: 30_000 }, async () => {
    const child = startChild(folder.path, 0)
    const exit = once(child, 'exit')
    if (!child.stdout) throw new Error('the child has no output')
    await once(child.stdout, 'data')
    expect(() => lockFolder(folder.path)).toThrow(expect.objectContaining({ code: 'folderIsTaken' }) as Error)
    child.kill('SIGKILL')
    await exit
    lockFolder(folder.path).release()
  })
})

describe('a power cut', () => {
  test(`at ${cuts} places in the log leaves whole commits only, and the store works on`, {
    timeout: 180_000,
  }, () => {
    const { store } = openStore(folder.path)
    const groups = 40
    for (let group = 0, n = 0; group < groups; group++) {
      const readings = Array.from({ length: groupSize }, () => numbered(n++))
      store.commit({
        readings,
        journal: [{ at: clock(0), kind: 'returned', by: 'brumal', value: n - 1 }],
        parcels: [messageOf(n - 1)],
        ...(group % 3 === 0 ? { snapshot: String(n - 1) } : {}),
      })
      if (group % 10 === 9) store.fold(numbered(n - 1).at, zonesByHand, String(n - 1))
    }
    const database = join(folder.path, databaseName)
    const length = statSync(`${database}-wal`).size
    const counts: number[] = []
    for (let cut = 0; cut <= cuts; cut++) {
      const copy = temporaryFolder()
      const copied = join(copy.path, databaseName)
      copyFileSync(database, copied)
      copyFileSync(`${database}-wal`, `${copied}-wal`)
      truncateSync(`${copied}-wal`, Math.floor((length * cut) / cuts))
      const count = expectWholeGroups(look(copy.path))
      counts.push(count)

      const after = openStore(copy.path)
      after.store.commit({ readings: [numbered(count)], journal: [] })
      expect(after.store.span(numbered(count).sensor, 'temperature')?.last).toBe(numbered(count).at)
      after.store.close()
      copy.remove()
    }
    store.close()
    expect(counts).toEqual([...counts].sort((a, b) => a - b))
    expect(counts[0]).toBe(0)
    expect(counts.at(-1)).toBe(groups * groupSize)
    expect(new Set(counts).size).toBeGreaterThan(groups / 2) // the cuts did fall between and inside commits
  })
})
