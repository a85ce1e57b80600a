import { spawn, type ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { expectWholeGroups, look } from '../support/whole-groups.ts'

const kills = 24

let folder: ReturnType<typeof temporaryFolder>
const children: ChildProcess[] = []
beforeEach(() => {
  folder = temporaryFolder()
})
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL') // nothing is left running when a test fails half-way
  folder.remove()
})

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
