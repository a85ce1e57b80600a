import { expect } from 'vitest'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { groupSize, sensors } from './committing-child.ts'
import { clock, openStore } from './store-world.ts'

/** What a folder holds of the numbered readings, each thing by the number of its reading. */
export interface Found {
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

export function look(path: string): Found {
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
export function expectWholeGroups(found: Found): number {
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
