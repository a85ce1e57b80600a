import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import type { SoakSample } from '../support/soaking-child.ts'
import { temporaryFolder } from '../support/store-world.ts'

/** Memory settles while the first hours fill the caches and the first blocks fold. */
const warmUpHours = 6
/**
 * MB per million readings: two numbers kept for each reading would be 16. Resident memory itself wavers by some 10 MB
 * with what the collector gives back; SQLite's page cache may take 2 (two bytes a reading in the file, cached to 16 MB).
 */
const mostResident = 16
/** The same of the heap alone, which is quieter after a collection: a byte for each reading would be 1. */
const mostHeap = 1

const folder = temporaryFolder()
const samples: SoakSample[] = []
let child: ChildProcess | null = null
const hasProc = existsSync('/proc/self/fd')

beforeAll(async () => {
  if (!hasProc) return
  const started = spawn(
    process.execPath,
    [
      '--expose-gc',
      '--import',
      'tsx',
      fileURLToPath(new URL('../support/soaking-child.ts', import.meta.url)),
      folder.path,
    ],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  )
  const printed: Buffer[] = []
  child = started
  started.stdout.on('data', (chunk: Buffer) => printed.push(chunk))
  const [code] = (await once(started, 'close')) as [number]
  expect(code).toBe(0)
  const lines = Buffer.concat(printed).toString().trim().split('\n')
  samples.push(...lines.map((line) => JSON.parse(line) as SoakSample))
}, 400_000) // 50 s on two idle cores; others may be at work on them
afterAll(() => {
  child?.kill('SIGKILL')
  folder.remove()
})

/** Least squares. */
function slopeOf(points: readonly (readonly [x: number, y: number])[]): number {
  const mean = (of: 0 | 1) => points.reduce((sum, point) => sum + point[of], 0) / points.length
  const [x0, y0] = [mean(0), mean(1)]
  const over = points.reduce((sum, [x, y]) => sum + (x - x0) * (y - y0), 0)
  return over / points.reduce((sum, [x]) => sum + (x - x0) ** 2, 0)
}

const warm = () => samples.filter(({ hour }) => hour >= warmUpHours)
/** MB per million readings. */
const growthOf = (what: 'rss' | 'heap') =>
  slopeOf(warm().map((sample) => [sample.readings / 1e6, sample[what] / 1e6]))

describe.skipIf(!hasProc)('a day of two million readings, with alarms that come and go (needs /proc)', () => {
  test('is stored to the last reading, and each alarm of it was told (A4)', () => {
    const db = openDatabase(folder.path)
    const count = (sql: string) => Number(db.prepare(sql).pluck().get())
    const stored = count('SELECT (SELECT sum(n) FROM block) + (SELECT count(*) FROM hot)')
    const [raised, told] = [
      count("SELECT count(*) FROM journal WHERE kind = 'raised' AND alarm LIKE 'limit:%'"),
      count(
        "SELECT count(*) FROM parcel WHERE json_extract(parcel, '$.kind') = 'raised' AND json_extract(parcel, '$.alarm') LIKE 'limit:%'",
      ),
    ]
    db.close()
    expect(samples).toHaveLength(48)
    expect(stored).toBe(samples.at(-1)?.readings)
    expect(stored).toBeGreaterThan(2_000_000)
    expect(samples.at(-1)?.alarms).toBe(48)
    expect(raised).toBe(48)
    expect(told).toBeGreaterThanOrEqual(48)
  })

  test(`takes no memory for what is past: below ${mostResident} MB resident and ${mostHeap} MB of heap a million readings`, () => {
    const [resident, heap] = [growthOf('rss'), growthOf('heap')]
    const last = samples.at(-1)
    console.log(
      `soak: ${last?.readings} readings, resident ${((last?.rss ?? 0) / 1e6).toFixed(0)} MB, growth after warm-up ${resident.toFixed(2)} MB resident and ${heap.toFixed(3)} MB of heap a million readings`,
    )
    expect(resident).toBeLessThan(mostResident)
    expect(heap).toBeLessThan(mostHeap)
  })

  test('leaves no file or socket open that it opened on the way', () => {
    const [first] = warm()
    expect(first?.descriptors).toBeGreaterThan(3)
    expect(samples.at(-1)?.descriptors).toBe(first?.descriptors)
  })
})
