import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { seededRandom } from '../../daemon/practice/random.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { groupSize, messageOf, numbered } from '../support/committing-child.ts'
import { clock, openStore, temporaryFolder, zonesByHand } from '../support/store-world.ts'
import { expectWholeGroups, look } from '../support/whole-groups.ts'

// The form of the log: sqlite.org/fileformat2.html §4.1.
const headerBytes = 32
const frameHeaderBytes = 24

/** Commits that are in the database file before the log that is cut begins, and those in the log. */
const groupsBefore = 30
const groupsInLog = 32
/** Cuts anywhere, and flipped bytes anywhere. */
const randomPlaces = 200

const seed = Number(process.env['CUT_SEED'] ?? Date.now() % 1_000_000)
const random = seededRandom(seed)
const below = (end: number) => Math.floor(random.uniform() * end)

const folder = temporaryFolder()
let cases = 0
let right = 0
let frames = 0
/** The file as it was when the log began anew; the log that went before; the log that is cut. */
let file: Buffer
let oldLog: Buffer
let log: Buffer
let frameBytes = 0
/** Length of the log after each of its commits that held a group. */
const ends: number[] = []

beforeAll(() => {
  const { db, store } = openStore(folder.path)
  const database = join(folder.path, databaseName)
  const logLength = () => statSync(`${database}-wal`).size
  let n = 0
  const commitGroup = (group: number) => {
    const readings = Array.from({ length: groupSize }, () => numbered(n++))
    store.commit({
      readings,
      journal: [{ at: clock(0), kind: 'returned', by: 'brumal', value: n - 1 }],
      parcels: [messageOf(n - 1)],
      ...(group % 3 === 0 ? { snapshot: String(n - 1) } : {}),
    })
  }
  const fold = () => void store.fold(numbered(n - 1).at, zonesByHand, String(n - 1))

  for (let group = 0; group < groupsBefore; group++) commitGroup(group)
  oldLog = readFileSync(`${database}-wal`)
  db.pragma('wal_checkpoint(TRUNCATE)')
  file = readFileSync(database)
  for (let group = 0; group < groupsInLog; group++) {
    commitGroup(group)
    ends.push(logLength())
    if (group % 10 === 9) fold()
  }
  log = readFileSync(`${database}-wal`)
  expect(readFileSync(database)).toEqual(file) // all of it is in the log still
  store.close()

  frameBytes = frameHeaderBytes + log.readUInt32BE(8)
  frames = (log.length - headerBytes) / frameBytes
  expect(Number.isInteger(frames)).toBe(true)
  expect(frames).toBeGreaterThan(200)
})
afterAll(() => {
  folder.remove()
  process.stdout.write(
    `log cut, seed ${seed}: a log of ${frames} frames and ${groupsInLog} commits, ${cases} cuts and flips; ${right} left exactly the whole commits before them and a sound file, ${cases - right} anything else\n`,
  )
})

const boundary = (frame: number) => headerBytes + frame * frameBytes
/** Readings of the commits that lie wholly in the first `bytes` of the log. */
const readingsIn = (bytes: number) => (groupsBefore + ends.filter((end) => end <= bytes).length) * groupSize

/** A machine that comes up with this log beside the file holds exactly `readings`, and takes the next. */
function expectAfter(left: Buffer, readings: number, where: string, worksOn = false): void {
  cases += 1
  const path = join(folder.path, 'cut')
  rmSync(path, { recursive: true, force: true })
  mkdirSync(path)
  writeFileSync(join(path, databaseName), file)
  writeFileSync(join(path, `${databaseName}-wal`), left)
  expect(expectWholeGroups(look(path)), where).toBe(readings)
  if (worksOn) expectTakesTheNext(path, readings)
  right += 1
}

function expectTakesTheNext(path: string, readings: number): void {
  const { store } = openStore(path)
  try {
    store.commit({ readings: [numbered(readings)], journal: [] })
    expect(store.span(numbered(readings).sensor, 'temperature')?.last).toBe(numbered(readings).at)
  } finally {
    store.close()
  }
}

/** The log as a shorter file, and as a file whose rest still holds what the log before it had there. */
const cutAt = (bytes: number) => Buffer.from(log.subarray(0, bytes))
const unwrittenFrom = (bytes: number) => Buffer.concat([log.subarray(0, bytes), oldLog.subarray(bytes)])

/** Where `left` first differs from the whole log: what stands behind a cut may happen to be the very bytes that belong there. */
function sameUpTo(left: Buffer, from: number): number {
  let at = from
  while (at < left.length && at < log.length && left[at] === log[at]) at += 1
  return at
}

function flipped(bytes: Buffer, at: number): Buffer {
  const copy = Buffer.from(bytes)
  copy[at] = (copy[at] ?? 0) ^ (1 + below(255))
  return copy
}

describe(`a power cut while the log was being written (CUT_SEED=${seed})`, { timeout: 120_000 }, () => {
  test('at every end of a frame leaves exactly the commits before it, and the store works on', () => {
    for (let frame = 0; frame <= frames; frame++)
      expectAfter(cutAt(boundary(frame)), readingsIn(boundary(frame)), `cut after frame ${frame}`, true)
  })

  test('a byte before and a byte after every end of a frame leaves the same', () => {
    for (let frame = 0; frame <= frames; frame++)
      for (const at of [boundary(frame) - 1, boundary(frame) + 1])
        expectAfter(cutAt(at), readingsIn(Math.min(at, log.length)), `cut at byte ${at}`)
  })

  test(`at ${randomPlaces} places anywhere does, also where what the log before it had there still stands behind`, () => {
    for (let i = 0; i < randomPlaces; i++) {
      const isUnwritten = i % 2 === 1
      const at = below(isUnwritten ? Math.min(oldLog.length, log.length) : log.length + 1)
      const left = isUnwritten ? unwrittenFrom(at) : cutAt(at)
      expectAfter(left, readingsIn(sameUpTo(left, at)), `cut ${i} at byte ${at}`)
    }
  })

  test('that tore the last frame leaves the commits before it', () => {
    for (let frame = 1; frame <= frames; frame++) {
      const start = boundary(frame - 1)
      const at = start + (frame % 2 === 0 ? below(frameHeaderBytes) : below(frameBytes))
      const left = flipped(cutAt(boundary(frame)), at)
      expectAfter(left, readingsIn(start), `frame ${frame} torn at byte ${at}`, frame % 5 === 0)
    }
  })

  test('that tore any frame, or the head of the log, leaves the commits before that', () => {
    for (let i = 0; i < randomPlaces; i++) {
      const at = i < headerBytes ? i : below(log.length)
      const whole = at < headerBytes ? 0 : boundary(Math.floor((at - headerBytes) / frameBytes))
      expectAfter(flipped(log, at), readingsIn(whole), `torn at byte ${at}`)
    }
  })
})
