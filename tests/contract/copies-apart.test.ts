import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { monitorEventLoopDelay, performance } from 'node:perf_hooks'
import BetterSqlite from 'better-sqlite3'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { sqliteBackups } from '../../daemon/sqlite/backups.ts'
import { doCopyJob } from '../../daemon/sqlite/copy-jobs.ts'
import { tickEvery } from '../../daemon/main/rhythms.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { runApart } from '../../daemon/sqlite/run-apart.ts'
import { clock, openStore, temporaryFolder } from '../support/store-world.ts'
import { until } from '../support/until.ts'

let folder: ReturnType<typeof temporaryFolder>
let data: string
let database: string
const never = new AbortController().signal
/** The tick by which the daemon judges the time: what is shorter delays nothing. */
const longestGapMs: number = tickEvery

beforeAll(() => {
  folder = temporaryFolder()
  data = join(folder.path, 'data')
  database = join(data, databaseName)
  openStore(data).store.close()
  const db = new BetterSqlite(database)
  // many small rows and an index over them: what takes the longest to look through
  db.exec(`CREATE TABLE ballast (a, b); CREATE INDEX ballast_by ON ballast (b);
    WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 800000)
    INSERT INTO ballast SELECT i, hex(randomblob(8)) FROM n`)
  db.close()
})
afterAll(() => folder.remove())

/** How long `work` takes, and the longest that the loop stood still meanwhile. */
async function watched(work: () => Promise<unknown>): Promise<{ took: number; gap: number }> {
  const delay = monitorEventLoopDelay({ resolution: 1 })
  delay.enable()
  await turns() // it counts from its first turn on
  const begun = performance.now()
  await work()
  const took = performance.now() - begun
  await turns() // and a gap when it is over
  delay.disable()
  return { took, gap: delay.max / 1e6 }
}

async function turns(): Promise<void> {
  for (let i = 0; i < 5; i += 1) await new Promise((resolve) => setTimeout(resolve, 2))
}

test('A1: while a large copy is looked through, the thread that judges goes on', async () => {
  const here = await watched(() => doCopyJob({ kind: 'check', path: database }))
  expect(here.took).toBeGreaterThan(300)
  expect(here.gap).toBeGreaterThan(300) // what it would be in this thread
  const apart = await watched(() => runApart({ kind: 'check', path: database }, never))
  console.log(
    `${(statSync(database).size / 1e6).toFixed(0)} MB: in this thread ${here.took.toFixed(0)} ms with a gap of ${here.gap.toFixed(0)} ms; apart ${apart.took.toFixed(0)} ms with a longest gap of ${apart.gap.toFixed(0)} ms`,
  )
  expect(apart.took).toBeGreaterThan(300)
  expect(apart.gap).toBeLessThan(Math.min(longestGapMs, here.gap / 3))
})

test('A1: and so it does while a whole backup is made', async () => {
  const backups = sqliteBackups(data, { folder: join(folder.path, 'all'), keep: 3, ownDisk: false })
  const { took, gap } = await watched(() => backups.make(clock(1), never))
  console.log(`a backup in ${took.toFixed(0)} ms with a longest gap of ${gap.toFixed(0)} ms`)
  expect(gap).toBeLessThan(longestGapMs)
  expect(await backups.list(clock(2), never)).toHaveLength(1)
})

test.each<[name: string, bytes: () => number]>([
  ['half made', () => 1],
  ['all there and looked through', () => statSync(database).size],
])(
  'N1: a backup that is given up when it is %s ends soon, with the reason, and leaves nothing',
  async (name, bytes) => {
    const to = join(folder.path, name)
    const stop = new AbortController()
    const made = sqliteBackups(data, { folder: to, keep: 3, ownDisk: false }).make(clock(1), stop.signal)
    const outcome = expect(made).rejects.toThrow('Brumal is stopping.')
    const half = join(to, 'brumal-20260110T010000Z.db.half')
    await until(() => existsSync(half) && statSync(half).size >= bytes(), `a copy that is ${name}`)
    const begun = performance.now()
    stop.abort(new Error('Brumal is stopping.'))
    await outcome
    const took = performance.now() - begun
    console.log(`given up when ${name}: over within ${took.toFixed(0)} ms`)
    expect(took).toBeLessThan(4000) // what a stop waits for
    expect(readdirSync(to)).toEqual([])
  },
)

test('N1: a process that has nothing else to do does not stay for a copy that is not done', () => {
  const program = `
    import { runApart } from './daemon/sqlite/run-apart.ts'
    const job = { kind: 'check', path: ${JSON.stringify(database)} }
    runApart(job, new AbortController().signal).finally(() => process.stdout.write('answered'))
    process.stdout.write('asked ')`
  const { stdout, status } = spawnSync(
    process.execPath,
    ['--import', 'tsx', '--input-type=module', '-e', program],
    { encoding: 'utf8' },
  )
  expect({ stdout, status }).toEqual({ stdout: 'asked ', status: 0 })
})

test('N1: a look that is given up is never taken for a copy that is whole', async () => {
  const stop = new AbortController()
  const looked = runApart({ kind: 'check', path: database }, stop.signal)
  stop.abort(new Error('It takes too long.'))
  await expect(looked).rejects.toThrow('It takes too long.')
  await expect(runApart({ kind: 'check', path: database }, stop.signal)).rejects.toThrow('It takes too long.')
  await expect(runApart({ kind: 'check', path: database }, AbortSignal.timeout(50))).rejects.toMatchObject({
    name: 'TimeoutError',
  })
})

test('N1: what is wrong with a copy comes back by its name and sentence', async () => {
  const bytes = readFileSync(database)
  bytes.fill(0xa5, 4096 * 40, 4096 * 44)
  const path = join(folder.path, 'damaged.db')
  writeFileSync(path, bytes)
  await expect(runApart({ kind: 'check', path }, never)).rejects.toMatchObject({
    name: 'StorageError',
    code: 'databaseIsDamaged',
  })
  await expect(
    sqliteBackups(join(folder.path, 'nowhere'), {
      folder: join(folder.path, 'x'),
      keep: 1,
      ownDisk: false,
    }).make(clock(1), never),
  ).rejects.toMatchObject({ code: 'databaseIsMissing' })
})
