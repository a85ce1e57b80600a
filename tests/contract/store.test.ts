import { copyFileSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite, { type Database } from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { JudgedReading, Store } from '../../daemon/ports/store.ts'
import type { ZonesOf } from '../../daemon/ports/zones.ts'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { journalTable } from '../../daemon/sqlite/journal.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { Household } from '../../schemas/household.ts'
import { AlarmId, PlaceId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import { instant, later, millis } from '../../schemas/amounts.ts'
import {
  aReading,
  batchOf,
  clock,
  hour,
  midnight,
  minute,
  openStore,
  otherProbe,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let db: Database
let store: Store

beforeEach(() => {
  folder = temporaryFolder()
  ;({ db, store } = openStore(folder.path))
})

afterEach(() => {
  store.close()
  folder.remove()
})

const reopen = (): void => {
  store.close()
  ;({ db, store } = openStore(folder.path))
}

const valuesBetween = (from: number, to: number): number[] =>
  store.readings(probe, 'temperature', clock(from), clock(to)).map(({ value }) => value)

const noGap = millis(1000 * hour)

describe('a commit', () => {
  test('readings come back oldest first, with what is believed of them, the end left out', () => {
    store.commit(
      batchOf(
        aReading(clock(2), 5),
        aReading(clock(1), 85, { quality: 'powerOn' }),
        aReading(clock(3), 6),
        aReading(clock(1), 60, { quantity: 'humidity' }),
        aReading(clock(1), 9, { sensor: otherProbe }),
      ),
    )
    expect(store.readings(probe, 'temperature', clock(1), clock(3))).toEqual([
      aReading(clock(1), 85, { quality: 'powerOn' }),
      aReading(clock(2), 5),
    ])
    expect(store.readings(probe, 'battery', clock(0), clock(9))).toEqual([])
    expect(store.readings(probe, 'temperature', clock(3), clock(1))).toEqual([])
  })

  test('L5: a repeat of sensor, quantity and time is stored once, the first stays, over a restart too', () => {
    store.commit(batchOf(aReading(clock(1), 5), aReading(clock(1), 6)))
    store.commit(batchOf(aReading(clock(1), 7)))
    reopen()
    store.commit(batchOf(aReading(clock(1), 8), aReading(clock(2), 9)))
    expect(valuesBetween(0, 24)).toEqual([5, 9])
    expect(store.unfolded()).toBe(2)
  })

  test('L5: a repeat of a folded reading is not seen twice, before the next fold or after it', () => {
    store.commit(batchOf(aReading(clock(1), 5)))
    store.fold(clock(2), zonesByHand, 's')
    store.commit(batchOf(aReading(clock(1), 6)))
    expect(valuesBetween(0, 24)).toEqual([5])
    expect(store.fold(clock(2), zonesByHand, 's')).toEqual({ blocks: 0, readings: 0, late: 0 })
    expect(valuesBetween(0, 24)).toEqual([5])
    expect(store.unfolded()).toBe(0)
  })

  test('a commit that fails leaves everything as it was, in memory too', () => {
    store.commit({ ...batchOf(aReading(clock(1), 5)), snapshot: 'one' })
    const spoilt = aReading(clock(3), Number.NaN, { sensor: otherProbe }) // NOT NULL refuses what is no number
    expect(() =>
      store.commit({
        readings: [
          aReading(clock(2), 6),
          aReading(clock(0.5), 4),
          aReading(clock(1), 6, { sensor: otherProbe }),
          spoilt,
        ],
        journal: [{ at: clock(1), kind: 'started', by: 'brumal' }],
        snapshot: 'two',
      }),
    ).toThrow()
    expect(store.unfolded()).toBe(1)
    expect(valuesBetween(0, 24)).toEqual([5])
    expect(store.span(otherProbe, 'temperature')).toBeNull()
    expect(store.journal({ limit: 9 })).toEqual([])
    expect(store.resume()).toEqual({ snapshot: 'one', since: [] })

    store.commit(batchOf(aReading(clock(2), 7), aReading(clock(1), 8, { sensor: otherProbe })))
    reopen()
    expect(valuesBetween(0, 24)).toEqual([5, 7])
    expect(store.readings(otherProbe, 'temperature', clock(0), clock(9)).map((r) => r.value)).toEqual([8])
  })

  test('N2: a full disk is named, loses nothing that was stored, and the same commit succeeds when there is room', () => {
    const rows = (hours: number) =>
      batchOf(...Array.from({ length: 3000 }, (_, i) => aReading(clock(hours) + i * 1000, i / 100)))
    store.commit(rows(0))
    db.pragma(`max_page_count = ${Number(db.pragma('page_count', { simple: true })) + 4}`)
    expect(() => store.commit(rows(1))).toThrow(expect.objectContaining({ code: 'diskIsFull' }) as Error)
    expect(store.unfolded()).toBe(3000)
    expect(store.readings(probe, 'temperature', clock(0), clock(9))).toHaveLength(3000)
    expect(() => store.fold(clock(2), zonesByHand, 'x'.repeat(1e6))).toThrow(/disk is full/)
    expect(store.unfolded()).toBe(3000)
    db.pragma('max_page_count = 1000000')
    store.commit(rows(1))
    reopen()
    expect(store.unfolded()).toBe(6000)
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok')
  })

  test('−0 °C is stored as 0', () => {
    store.commit(batchOf(aReading(clock(1), -0)))
    expect(valuesBetween(0, 24)).toEqual([0])
    store.fold(clock(2), zonesByHand, 's')
    expect(valuesBetween(0, 24)).toEqual([0])
  })
})

describe('the household', () => {
  test('is none at first and comes back as it was saved', () => {
    expect(store.household()).toBeNull()
    const household = Household.parse({ version: 1, name: 'Two fridges', timeZone: 'Europe/Vienna' })
    store.commit({ ...batchOf(), household })
    reopen()
    expect(store.household()).toEqual(household)
  })
})

describe('L7: resuming', () => {
  test('gives the last snapshot and, in order of arrival, what came after it', () => {
    expect(store.resume()).toEqual({ snapshot: null, since: [] })
    store.commit({ ...batchOf(aReading(clock(1), 1)), snapshot: 'after the first' })
    store.commit(
      batchOf(aReading(clock(3), 3), aReading(clock(2), 2, { sensor: otherProbe, quality: 'spike' })),
    )
    reopen()
    expect(store.resume()).toEqual({
      snapshot: 'after the first',
      since: [aReading(clock(3), 3), aReading(clock(2), 2, { sensor: otherProbe, quality: 'spike' })],
    })
  })

  test('a fold keeps its snapshot and never takes a reading away from an older one', () => {
    store.commit({ ...batchOf(aReading(clock(1), 1)), snapshot: 'old' })
    store.commit(batchOf(aReading(clock(1.5), 2), aReading(clock(2.5), 3)))
    store.fold(clock(2), zonesByHand, 'new')
    store.commit(batchOf(aReading(clock(1.25), 4)))
    reopen()
    expect(store.resume()).toEqual({ snapshot: 'new', since: [aReading(clock(1.25), 4)] })
  })

  test('numbering goes on after a fold that emptied the table and a restart', () => {
    store.commit(batchOf(aReading(clock(1), 1), aReading(clock(1.5), 2)))
    store.fold(clock(2), zonesByHand, 'all seen')
    reopen()
    store.commit(batchOf(aReading(clock(2), 3)))
    expect(store.resume().since).toEqual([aReading(clock(2), 3)])
  })

  test('a fold that fails keeps the older snapshot and every reading', () => {
    store.commit({ ...batchOf(aReading(clock(1), 1), aReading(clock(2), 2)), snapshot: 'old' })
    const broken: ZonesOf = () => {
      throw new Error('no band known')
    }
    expect(() => store.fold(clock(9), broken, 'new')).toThrow('no band known')
    expect(store.unfolded()).toBe(2)
    reopen()
    expect(store.resume()).toEqual({ snapshot: 'old', since: [] })
    expect(valuesBetween(0, 9)).toEqual([1, 2])
  })
})

describe('the fold', () => {
  test('takes an hour that has ended at the very instant, not one that runs for a millisecond more', () => {
    store.commit(batchOf(aReading(clock(1), 1), aReading(clock(2) - 1, 2), aReading(clock(2), 3)))
    expect(store.fold(instant(clock(2) - 1), zonesByHand, 's')).toEqual({ blocks: 0, readings: 0, late: 0 })
    expect(store.fold(clock(2), zonesByHand, 's')).toEqual({ blocks: 1, readings: 2, late: 0 })
    expect(store.unfolded()).toBe(1)
    expect(valuesBetween(0, 24)).toEqual([1, 2, 3])
  })

  test('a second fold changes nothing', () => {
    store.commit(batchOf(...Array.from({ length: 500 }, (_, i) => aReading(clock(0) + i * minute, i / 10))))
    store.fold(clock(8), zonesByHand, 's')
    const dump = () =>
      db.prepare('SELECT * FROM block JOIN block_data ON key = hour * 1048576 + series').all()
    const before = dump()
    expect(before).toHaveLength(8)
    expect(store.fold(clock(8), zonesByHand, 's')).toEqual({ blocks: 0, readings: 0, late: 0 })
    expect(dump()).toEqual(before)
  })

  test('L5: a late reading joins the block of its hour', () => {
    store.commit(batchOf(aReading(clock(1.25), 1), aReading(clock(1.75), 3)))
    store.fold(clock(2), zonesByHand, 's')
    store.commit(batchOf(aReading(clock(1.5), 2)))
    expect(valuesBetween(1, 2)).toEqual([1, 2, 3])
    expect(store.fold(clock(2), zonesByHand, 's')).toEqual({ blocks: 1, readings: 1, late: 1 })
    expect(valuesBetween(1, 2)).toEqual([1, 2, 3])
  })

  test('L5: a late reading at the end of an hour corrects the zones of the hour that leans on it', () => {
    store.commit(batchOf(aReading(clock(1.25), 5), aReading(clock(2.25), 5)))
    store.fold(clock(3), zonesByHand, 's')
    const second = { from: clock(2), to: clock(3) }
    const zonesOfSecond = () => store.summaries(probe, 'temperature', [second], zonesByHand)[0]?.zones
    expect(zonesOfSecond()).toMatchObject({ inside: 30 * minute, low: 0, unknown: 30 * minute })

    store.commit(batchOf(aReading(clock(1) + 50 * minute, 0)))
    const corrected = { inside: 30 * minute, low: 15 * minute, unknown: 15 * minute }
    expect(zonesOfSecond()).toMatchObject(corrected)
    store.fold(clock(3), zonesByHand, 's')
    expect(db.prepare('SELECT low_ms FROM block ORDER BY hour').pluck().all()).toEqual([
      10 * minute,
      15 * minute,
    ])
    expect(zonesOfSecond()).toMatchObject(corrected)
  })

  test('more hours than one transaction takes are all folded', () => {
    const rows = Array.from({ length: 1201 }, (_, i) => aReading(midnight + i * hour, i))
    store.commit(batchOf(...rows))
    expect(store.fold(instant(midnight + 1201 * hour), zonesByHand, 's')).toEqual({
      blocks: 1201,
      readings: 1201,
      late: 0,
    })
    expect(store.unfolded()).toBe(0)
    reopen()
    expect(store.unfolded()).toBe(0)
    expect(store.readings(probe, 'temperature', midnight, instant(midnight + 1201 * hour))).toEqual(rows)
  })

  test('N1: a block whose bytes have changed is named as damage, never drawn', () => {
    store.commit(batchOf(aReading(clock(1), 5)))
    store.fold(clock(2), zonesByHand, 's')
    db.exec("UPDATE block_data SET data = x'00112233445566'")
    expect(() => valuesBetween(0, 9)).toThrow(expect.objectContaining({ code: 'databaseIsDamaged' }) as Error)
  })
})

describe('columns', () => {
  const every = (step: number, count: number, from = 0) =>
    Array.from({ length: count }, (_, i) => aReading(clock(from) + i * step, i))
  const drawn = (from: number, to: number, count: number, gap = noGap) =>
    store.columns(probe, 'temperature', clock(from), clock(to), count, gap)

  test('as many readings as columns are drawn one by one; one more and they are gathered', () => {
    store.commit(batchOf(...every(minute, 10)))
    expect(drawn(0, 1, 10)).toEqual({
      resolution: 'readings',
      columns: {
        at: Array.from({ length: 10 }, (_, i) => midnight + i * minute),
        low: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
        mean: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
        high: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
      },
    })
    expect(drawn(0, 1, 9).resolution).toBe('columns')
  })

  test('equal columns carry lowest, mean and highest of the good readings only', () => {
    store.commit(batchOf(...every(minute, 60), aReading(clock(0.01), -242, { quality: 'busOpen' })))
    expect(drawn(0, 1, 4)).toEqual({
      resolution: 'columns',
      columns: {
        at: [7.5, 22.5, 37.5, 52.5].map((m) => midnight + m * minute),
        low: [0, 15, 30, 45],
        mean: [7, 22, 37, 52],
        high: [14, 29, 44, 59],
      },
    })
  })

  test('columns of hours say the same before the fold and after it', () => {
    store.commit(batchOf(...every(minute, 20 * 60)))
    const before = drawn(0.5, 18.25, 7)
    expect(before.resolution).toBe('columns')
    expect(before.columns.low[0]).toBe(30)
    expect(before.columns.high.at(-1)).toBe(18 * 60 + 14)
    expect(before.columns.at.length).toBeLessThanOrEqual(7)
    store.fold(clock(20), zonesByHand, 's')
    expect(drawn(0.5, 18.25, 7)).toEqual(before)
  })

  test('a silence as long as the gap is drawn through, one of a millisecond more is a null row', () => {
    store.commit(batchOf(aReading(clock(0), 1), aReading(clock(1), 2), aReading(clock(2) + 1, 3)))
    expect(drawn(0, 5, 9, millis(hour)).columns).toEqual({
      at: [clock(0), clock(1), clock(1.5), clock(2) + 1],
      low: [1, 2, null, 3],
      mean: [1, 2, null, 3],
      high: [1, 2, null, 3],
    })
  })

  test('a silence between gathered columns is one null row, however long it is', () => {
    store.commit(batchOf(...every(minute, 120), ...every(minute, 120, 10)))
    for (const fold of [false, true]) {
      if (fold) store.fold(clock(12), zonesByHand, 's')
      const { columns } = drawn(0, 12, 12, millis(10 * minute))
      expect(columns.mean).toEqual([29.5, 89.5, null, 29.5, 89.5])
      expect([...columns.at].sort((a, b) => a - b)).toEqual(columns.at)
    }
  })

  test('readings that are not believed do not fill a silence, folded or not', () => {
    const bad = every(minute, 59, 2).map((reading) => ({ ...reading, at: later(reading.at, minute) }))
    store.commit(
      batchOf(
        ...every(minute, 120),
        ...bad.map((reading) => ({ ...reading, quality: 'busOpen' as const })),
        ...every(minute, 60, 3),
      ),
    )
    for (const fold of [false, true]) {
      if (fold) store.fold(clock(4), zonesByHand, 's')
      expect(drawn(0, 4, 4, millis(10 * minute)).columns.mean).toEqual([29.5, 89.5, null, 29.5])
    }
  })

  test('an hour that begins with readings that are not believed begins with its first good one', () => {
    const doubted = (reading: JudgedReading, i: number): JudgedReading =>
      i < 30 ? { ...reading, quality: 'powerOn' } : reading
    store.commit(batchOf(...every(minute, 60), ...every(minute, 60, 1).map(doubted)))
    for (const fold of [false, true]) {
      if (fold) store.fold(clock(2), zonesByHand, 's')
      expect(drawn(0, 2, 2, millis(30 * minute)).columns.mean).toEqual([29.5, null, 44.5])
      expect(drawn(0, 2, 2, millis(31 * minute)).columns.mean).toEqual([29.5, 44.5])
    }
  })

  test('a mean never leaves its own column by rounding', () => {
    store.commit(batchOf(...Array.from({ length: 30 }, (_, i) => aReading(clock(0) + i * minute, 0.1))))
    expect(drawn(0, 1, 3).columns.mean).toEqual([0.1, 0.1])
  })

  test('an unknown sensor, an empty stretch and a backward one draw nothing', () => {
    store.commit(batchOf(aReading(clock(1), 1)))
    const nothing = { resolution: 'readings', columns: { at: [], low: [], mean: [], high: [] } }
    expect(drawn(2, 3, 9)).toEqual(nothing)
    expect(drawn(3, 1, 9)).toEqual(nothing)
    expect(store.columns(otherProbe, 'temperature', clock(0), clock(9), 9, noGap)).toEqual(nothing)
  })
})

describe('summaries', () => {
  test.each([11, 12, 13])('a night of %i hours is summed to the millisecond, folded or not', (length) => {
    const night = { from: clock(20.5), to: clock(20.5 + length) }
    const readings = Array.from({ length: 40 * 60 }, (_, i) =>
      aReading(clock(0) + i * minute, Math.round(50 + 40 * Math.sin(i / 97)) / 10),
    )
    store.commit(batchOf(...readings))
    const inNight = readings.filter(({ at }) => at >= night.from && at < night.to).map(({ value }) => value)
    const expected = {
      readings: length * 60,
      min: Math.min(...inNight),
      max: Math.max(...inNight),
      mean: expect.closeTo(inNight.reduce((a, b) => a + b) / inNight.length, 9) as number,
      zones: zonesByHand(
        probe,
        'temperature',
        night,
        null,
        readings
          .filter(({ at }) => at >= night.from && at < night.to)
          .map(({ at, value }) => [at, value] as const),
      ),
    }
    expect(store.summaries(probe, 'temperature', [night], zonesByHand)).toEqual([expected])
    store.fold(clock(40), zonesByHand, 's')
    expect(store.summaries(probe, 'temperature', [night], zonesByHand)).toEqual([expected])
    expect(Object.values<number>({ ...expected.zones }).reduce((a, b) => a + b)).toBe(length * hour)
  })

  test('a night without readings is unknown throughout, but for what was still in force at its start', () => {
    store.commit(batchOf(aReading(clock(19) + 50 * minute, 5)))
    store.fold(clock(20), zonesByHand, 's')
    const night = { from: clock(20), to: clock(32) }
    const zones = { lowCritical: 0, low: 0, inside: 20 * minute, high: 0, highCritical: 0 }
    expect(store.summaries(probe, 'temperature', [night], zonesByHand)).toEqual([
      {
        readings: 0,
        min: null,
        max: null,
        mean: null,
        zones: { ...zones, unknown: 12 * hour - 20 * minute },
      },
    ])
    expect(store.summaries(otherProbe, 'temperature', [night], zonesByHand)[0]?.zones.unknown).toBe(12 * hour)
  })
})

describe('the span', () => {
  test('runs from the first to the last reading, folded or not', () => {
    expect(store.span(probe, 'temperature')).toBeNull()
    store.commit(batchOf(aReading(clock(2), 1), aReading(clock(4.5), 2)))
    expect(store.span(probe, 'temperature')).toEqual({ first: clock(2), last: clock(4.5) })
    store.fold(clock(5), zonesByHand, 's')
    expect(store.span(probe, 'temperature')).toEqual({ first: clock(2), last: clock(4.5) })
    store.commit(batchOf(aReading(clock(1), 1), aReading(clock(6), 2)))
    expect(store.span(probe, 'temperature')).toEqual({ first: clock(1), last: clock(6) })
  })
})

describe('the journal', () => {
  const alarm = AlarmId.parse('limit:box-1:temperature:low')
  const entries: JournalEntry[] = [
    { at: clock(1), kind: 'started', by: 'brumal' },
    { at: clock(2), kind: 'raised', by: 'brumal', alarm, priority: 'high', value: 1.5, threshold: 2 },
    { at: clock(3), kind: 'acknowledged', by: 'Ada', alarm },
    { at: clock(4), kind: 'changed', by: 'Ada', text: 'Renamed the top box.' },
  ]

  test('gives each line an ascending id and comes back newest first, word for word', () => {
    const lines = store.commit({ readings: [], journal: entries })
    expect(lines).toEqual(entries.map((entry, i) => ({ ...entry, id: i + 1 })))
    reopen()
    expect(store.commit({ readings: [], journal: entries.slice(0, 1) })[0]?.id).toBe(5)
    expect(store.journal({ limit: 4 })).toEqual([
      { ...entries[0], id: 5 },
      ...[...lines].reverse().slice(0, 3),
    ])
  })

  test('is asked by id, by time (the end left out) and for alarms only, in any mixture', () => {
    store.commit({ readings: [], journal: entries })
    const ids = (query: Omit<Parameters<Store['journal']>[0], 'limit'>, limit = 9) =>
      store.journal({ ...query, limit }).map(({ id }) => id)
    expect(ids({ before: 3 })).toEqual([2, 1])
    expect(ids({ from: clock(2), to: clock(4) })).toEqual([3, 2])
    expect(ids({ alarmsOnly: true })).toEqual([3, 2])
    expect(ids({ alarmsOnly: false }, 2)).toEqual([4, 3])
    expect(ids({ alarmsOnly: true, before: 3, from: clock(1), to: clock(9) })).toEqual([2])
  })

  test('is asked for places and kinds; a line that names no place is no place’s', () => {
    const [fridge, box, shed] = ['fridge', 'box', 'shed'].map((id) => PlaceId.parse(id)) as [
      PlaceId,
      PlaceId,
      PlaceId,
    ]
    const at = (hours: number, kind: JournalEntry['kind'], place?: PlaceId): JournalEntry => ({
      at: clock(hours),
      kind,
      by: 'brumal',
      ...(place !== undefined && { place }),
    })
    store.commit({
      readings: [],
      journal: [
        at(1, 'doorOpened', fridge),
        at(2, 'raised', box),
        at(3, 'doorOpened', shed),
        at(4, 'started'),
        at(5, 'returned', box),
        at(3, 'doorOpened', fridge), // told late, of what was before
      ],
    })
    const ids = (query: Omit<Parameters<Store['journal']>[0], 'limit'>, limit = 9) =>
      store.journal({ ...query, limit }).map(({ id }) => id)
    expect(ids({ places: [fridge, box] })).toEqual([6, 5, 2, 1])
    expect(ids({ kinds: ['doorOpened'] })).toEqual([6, 3, 1])
    expect(ids({ places: [fridge, box], kinds: ['doorOpened', 'raised'], from: clock(2) })).toEqual([6, 2])
    expect(ids({ places: [fridge, box], from: clock(2), before: 6 }, 1)).toEqual([5])
    expect(ids({ places: [] })).toEqual([])
    expect(ids({ places: [PlaceId.parse('nowhere')], kinds: ['raised'], from: clock(0) })).toEqual([])
  })

  test('X3: what happened lately in a place is found without reading the years before', () => {
    const asked: string[] = []
    const listening = new Proxy(db, {
      get: (own, name: keyof Database) =>
        name === 'prepare' ? (text: string) => (asked.push(text), own.prepare(text)) : own[name],
    })
    journalTable(listening).lines({ limit: 5, from: clock(1), kinds: ['raised'], places: [] })
    const plan = db
      .prepare(`EXPLAIN QUERY PLAN ${asked.at(-1) ?? ''}`)
      .all({ from: 1, limit: 5, kinds: '[]', places: '[]' }) as { detail: string }[]
    expect(plan.map(({ detail }) => detail)).toContain('SEARCH journal USING INDEX journal_at (at>?)')
    const many = Array.from(
      { length: 20_000 },
      (_, i): JournalEntry => ({ at: clock(i / 100), kind: 'started', by: 'brumal' }),
    )
    store.commit({ readings: [], journal: many })
    const lines = store.journal({ limit: 500, from: clock(199), kinds: ['started'] })
    expect(lines).toHaveLength(100)
    expect(store.journal({ limit: 500, from: clock(199), kinds: ['raised'] })).toEqual([])
  })
})

describe('opening', () => {
  const path = (): string => join(folder.path, databaseName)
  const refused = (code: string) => expect.objectContaining({ name: 'StorageError', code }) as Error

  test('commits are synchronised to the disk: the setting reads 2 after a write', () => {
    store.commit(batchOf(aReading(clock(1), 1)))
    expect(db.pragma('synchronous', { simple: true })).toBe(2)
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal')
    expect(db.pragma('page_size', { simple: true })).toBe(2048)
    expect(db.pragma('foreign_keys', { simple: true })).toBe(1)
    expect(statSync(path()).mode & 0o077).toBe(0)
  })

  test('a database of a newer program is refused in a sentence and left untouched', () => {
    db.pragma(`user_version = ${migrations.length + 1}`)
    store.close()
    const before = readFileSync(path())
    expect(() => openDatabase(folder.path)).toThrow(refused('databaseIsNewer'))
    expect(() => openDatabase(folder.path)).toThrow(/newer Brumal/)
    expect(readFileSync(path()).equals(before)).toBe(true)
  })

  test('a database of another program is refused', () => {
    const other = temporaryFolder()
    const foreign = new BetterSqlite(join(other.path, databaseName))
    foreign.exec('CREATE TABLE recipe (name TEXT)')
    foreign.close()
    expect(() => openDatabase(other.path)).toThrow(refused('databaseIsForeign'))
    other.remove()
  })

  test.each([
    ['overwritten at its head', (file: string) => writeFileSync(file, 'x'.repeat(8192))],
    ['cut in the middle', (file: string) => truncateSync(file, 4096 * 3)],
    [
      'holed in the middle',
      (file: string) =>
        writeFileSync(
          file,
          Buffer.concat([readFileSync(file).subarray(0, 4096), Buffer.alloc(4096 * 20, 7)]),
        ),
    ],
  ])('a damaged database, %s, is named as such', (_, damage) => {
    store.commit(batchOf(...Array.from({ length: 2000 }, (_row, i) => aReading(clock(1) + i * 1000, i))))
    reopen() // closing moves the log into the file
    const other = temporaryFolder()
    store.close()
    copyFileSync(path(), join(other.path, databaseName))
    ;({ db, store } = openStore(folder.path))
    damage(join(other.path, databaseName))
    expect(() => openDatabase(other.path)).toThrow(refused('databaseIsDamaged'))
    other.remove()
  })

  test('a folder that is no folder is named as a fault of the disk', () => {
    writeFileSync(join(folder.path, 'file'), '')
    expect(() => openDatabase(join(folder.path, 'file'))).toThrow(refused('diskIsFailing'))
  })

  test('a folder is locked once; released, it may be locked again', () => {
    const lock = lockFolder(folder.path)
    expect(() => lockFolder(folder.path)).toThrow(refused('folderIsTaken'))
    lock.release()
    lock.release()
    lockFolder(folder.path).release()
  })

  test('a database of schema 1 opens with all it holds, and has the schema of a new one', () => {
    const old = temporaryFolder()
    copyFileSync(new URL('../../fixtures/databases/v1.db', import.meta.url), join(old.path, databaseName))
    const opened = openStore(old.path)
    const schema = (of: Database) => of.prepare('SELECT name, sql FROM sqlite_schema ORDER BY name').all()
    expect(schema(opened.db)).toEqual(schema(db))
    expect(opened.store.household()?.name).toBe('The house of the first schema')
    expect(opened.store.resume()).toEqual({ snapshot: 'folded', since: [aReading(clock(3.5), 350)] })
    expect(opened.store.readings(probe, 'temperature', clock(0), clock(9)).map(({ value }) => value)).toEqual(
      [0, 50, 100, 150, 200, 250, 300, 350],
    )
    expect(opened.store.journal({ limit: 9 }).map(({ kind }) => kind)).toEqual(['started', 'setUp'])
    expect(opened.db.prepare('SELECT name, role FROM person').all()).toEqual([
      { name: 'Ada', role: 'keeper' },
    ])
    opened.store.close()
    old.remove()
  })
})
