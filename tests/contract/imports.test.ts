import { readdirSync } from 'node:fs'
import type { Database } from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { openHouse } from '../../daemon/app/house.ts'
import type { Imports } from '../../daemon/app/imports.ts'
import { lookAt } from '../../daemon/app/table-look.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { scratchFolder } from '../../daemon/host/scratch.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { packTimes, unpackTimes } from '../../daemon/sqlite/import-times.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { StorageError } from '../../daemon/sqlite/storage-error.ts'
import { instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { PlaceId, SensorId } from '../../schemas/ids.ts'
import {
  type ImportChoice,
  type ImportId,
  type ImportLine,
  tableBytes,
  tableRows,
  type TableLook,
} from '../../schemas/import.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { importsOver, silent } from '../support/imports-for-http.ts'
import {
  choiceOf,
  fridgeWith,
  inFahrenheit,
  knownWinter,
  valuesIn,
  type WinterRow,
  withOffsets,
  withSemicolons,
} from '../support/logger-tables.ts'
import { quickFolder } from '../support/kept-house.ts'
import { noSmallDisk, smallDisk } from '../support/small-disk.ts'

const now = instant(Date.UTC(2025, 9, 1))
/** Two weeks of it, with the night of the doubled hour. */
const winter = knownWinter(7, 60).slice(0, 400)
const probe = SensorId.parse('probe-1')
const fridge = PlaceId.parse('fridge')
const from = winter[0]?.at as Instant
const to = later(winter.at(-1)?.at as Instant, 1)

const unable = noSmallDisk()

let folder: ReturnType<typeof quickFolder>
let open: ReturnType<typeof openHere>
beforeEach(() => {
  folder = quickFolder()
  open = openHere()
})
afterEach(() => {
  open.store.close()
  folder.remove()
})

function openHere(around: (store: Store) => Store = (one) => one) {
  const clock = { now: () => now, uptime: () => now as unknown as Millis }
  const db = openDatabase(folder.path)
  const store = around(sqliteStore(db))
  const house = openHouse({
    store,
    clock,
    timer: { soon: (act) => act(), after: () => ({ cancel: () => undefined }) },
    log: silent,
    profileOf: () => undefined,
    commitEvery: seconds(0),
    newHousehold: () => fridgeWith(probe),
    messages: { seal: hmacSeal(new Uint8Array(32)), address: () => 'http://localhost', isPractice: false },
  })
  return { house, store, db, imports: importsOver(house, store, clock) }
}

function again(around?: (store: Store) => Store): void {
  open.store.close()
  open = openHere(around)
}

/** Everything that is kept of readings, byte for byte. */
const kept = (db: Database) =>
  ['block', 'block_data', 'hot'].map((table) => db.prepare(`SELECT * FROM ${table} ORDER BY 1, 2`).all())

async function* inPieces(bytes: Uint8Array): AsyncIterable<Uint8Array> {
  for (let i = 0; i < bytes.length; i += 50_000) yield bytes.subarray(i, i + 50_000)
}

async function held(bytes: Uint8Array, imports: Imports = open.imports): Promise<TableLook> {
  const outcome = await imports.holdTable('C:\\logs\\winter.csv', inPieces(bytes), 'Ada')
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value
}

const toProbe = (look: TableLook) => choiceOf(look, { kind: 'known', sensor: probe })
const toLogger = (look: TableLook, name = 'Old logger') =>
  choiceOf(look, { kind: 'newLogger', name, place: fridge })

async function taken(
  bytes: Uint8Array,
  choose: (look: TableLook) => ImportChoice = toProbe,
): Promise<ImportLine> {
  const look = await held(bytes)
  const begun = await open.imports.beginImport(look.id, choose(look), 'Ada')
  if (!begun.ok) throw new Error(begun.sentence)
  return (await open.imports.settled()) ?? (open.imports.imports()[0] as ImportLine)
}

async function undone(id: ImportId) {
  const outcome = await open.imports.undoImport(id, 'Ada')
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value
}

const readingsOf = (sensor: SensorId, quantity: 'temperature' | 'humidity') =>
  open.store.readings(sensor, quantity, from, to).map(({ at, value }) => [at, value])

/** Own readings of the probe, folded: between the instants of the winter, and at some with values of their own. */
function ownReadings(alsoAt = 100): void {
  const own = winter
    .slice(100, 300)
    .flatMap(({ at }, i) => [...(i < alsoAt ? [at] : []), later(at, minutes(20))])
  for (const at of own)
    open.house.take(
      { kind: 'reading', reading: { sensor: probe, quantity: 'temperature', at, value: 4.5 }, heardAt: at },
      'soon',
    )
  open.store.commit({ readings: [], journal: [] })
  open.house.fold()
}

describe('a past winter', () => {
  test('L5: it changes nothing of what is judged now, raises nothing, and waits for no restart to judge it', async () => {
    ownReadings()
    const before = open.house.state()
    const lines = open.store.journal({ limit: 100 }).length
    await taken(withOffsets(winter))
    await taken(withOffsets(winter), toLogger)
    const after = open.house.state()
    expect({ ...after, layout: null }).toEqual({ ...before, layout: null })
    expect(after.layout.sensors).toEqual(before.layout.sensors)
    const newer = open.store.journal({ limit: 100 }).slice(0, -lines)
    expect(newer.map(({ kind }) => kind)).toEqual(['changed', 'changed', 'changed'])
    const since = open.store.resume().since.length
    again()
    expect(open.store.resume().since.length).toBe(since)
    expect([...open.house.state().alarms.keys()]).toEqual([...before.alarms.keys()])
  })

  test('a second time adds nothing, to a sensor or to a new logger of the same name', async () => {
    for (const choose of [toProbe, (look: TableLook) => toLogger(look)]) {
      await taken(withOffsets(winter), choose)
      const before = kept(open.db)
      const line = await taken(withSemicolons(winter), choose)
      expect([line.added, line.known]).toEqual([0, winter.length * 2 - gaps(winter)])
      expect(kept(open.db)).toEqual(before)
    }
    expect(open.house.state().layout.household.loggers?.map(({ id }) => id)).toEqual(['old-logger'])
  })

  test('the journal says who took in which file, how much, and of which days', async () => {
    await taken(withOffsets(winter), toLogger)
    const [line] = open.store.journal({ limit: 1 })
    expect(line).toMatchObject({ kind: 'changed', by: 'Ada' })
    expect(line?.text).toBe(
      `Took in winter.csv: ${winter.length * 2 - gaps(winter)} readings of 2024-10-20 to 2024-11-05, for Old logger.`,
    )
  })
})

describe('taking back', () => {
  test('restores every byte of what was kept, after a restart too, and leaves what was there', async () => {
    ownReadings()
    const before = kept(open.db)
    const line = await taken(inFahrenheit(winter))
    expect(line.known).toBeGreaterThan(90)
    expect(kept(open.db)).not.toEqual(before)
    again()
    expect(await undone(line.id)).toEqual({ removed: line.added, left: 0 })
    expect(kept(open.db)).toEqual(before)
    expect(open.imports.imports()).toEqual([])
  })

  test('keeps what came later into the same hours, of a sensor or of another table', async () => {
    const shifted = winter.map((row) => ({ ...row, at: later(row.at, minutes(7)) }))
    const other = await taken(withOffsets(shifted))
    const alone = kept(open.db)
    const first = await taken(withOffsets(winter))
    await undone(first.id)
    expect(kept(open.db)).toEqual(alone)
    await undone(other.id)
    expect(kept(open.db)).toEqual([[], [], []])
  })

  test('takes a logger along with its last reading, whichever table brought it', async () => {
    const half = withOffsets(winter.slice(0, 300))
    const first = await taken(half, toLogger)
    const second = await taken(withOffsets(winter.slice(300)), toLogger)
    await undone(first.id)
    expect(open.house.state().layout.household.loggers).toHaveLength(1)
    await undone(second.id)
    expect(open.house.state().layout.household.loggers).toBeUndefined()
    expect(open.store.journal({ limit: 1 })[0]?.text).toBe(`Took back winter.csv: ${second.added} readings.`)
  })

  test('reaches hours of which only the summary is left; hours with others’ readings are never made such', async () => {
    ownReadings(0)
    const before = kept(open.db)
    const whole = winter.map((row) => ({ ...row, temperature: row.temperature ?? 4 }))
    const line = await taken(withOffsets(whole))
    const { hours } = open.store.thin(now, 100_000)
    expect(hours).toBeGreaterThan(500)
    expect(await undone(line.id)).toEqual({ removed: line.added, left: 0 })
    expect(kept(open.db)).toEqual(before)
  })

  test('counts what has gone into a summary with others’ late readings, and leaves it', async () => {
    const line = await taken(withOffsets(winter))
    open.store.thin(now, 100_000)
    const late = { sensor: probe, quantity: 'temperature', at: later(from, minutes(5)), value: 5 } as const
    open.store.commit({ readings: [{ ...late, quality: 'good' }], journal: [] })
    open.store.fold(now, open.house.zonesOf, '')
    expect(await undone(line.id)).toEqual({ removed: line.added - 1, left: 1 })
    expect(open.store.span(probe, 'humidity')).toBeNull()
  })

  test('a table that only waits is forgotten; one that is gone is not found', async () => {
    const look = await held(withOffsets(winter))
    expect(await undone(look.id)).toEqual({ removed: 0, left: 0 })
    for (const act of [
      open.imports.undoImport(look.id, 'Ada'),
      open.imports.lookThrough(look.id, {}),
      open.imports.beginImport(look.id, toProbe(look), 'Ada'),
    ])
      expect(await act).toMatchObject({ ok: false, error: 'noSuchImport' })
  })
})

describe('an end before its end', () => {
  test('L7: what came in until then is listed, goes on with the same table, and is taken back whole', async () => {
    ownReadings()
    const before = kept(open.db)
    const stops = failingAfter(4, () => new StorageError('diskIsFull', 'The disk is full.'))
    again(stops)
    const line = await taken(withOffsets(winter))
    expect(line).toMatchObject({
      state: 'broken',
      why: 'Nothing more could be stored. Take it back, or send the table again when there is room.',
    })
    expect(line.added).toBeGreaterThan(100)
    again()
    const [found] = open.imports.imports()
    expect(found).toMatchObject({ state: 'broken', added: line.added })
    const rest = await taken(withOffsets(winter))
    expect(readingsOf(probe, 'temperature').length).toBeGreaterThan(valuesIn(winter, 'temperature').length)
    await undone(line.id)
    await undone(rest.id)
    expect(kept(open.db)).toEqual(before)
  })

  test('L7: one that was killed is found broken at the next start', async () => {
    again(failingAfter(2, () => new StorageError('diskIsFailing', 'gone'), true))
    await taken(withOffsets(winter), toLogger)
    again()
    const [line] = open.imports.imports()
    expect(line).toMatchObject({ state: 'broken', rows: line?.rows, loggers: ['old-logger'] })
    expect(line?.added).toBeGreaterThan(0)
    await undone(line?.id as ImportId)
    expect(kept(open.db)).toEqual([[], [], []])
    expect(open.house.state().layout.household.loggers).toBeUndefined()
  })

  test('L7: a stop in the midst of taking back leaves the rest to be taken back', async () => {
    const line = await taken(withOffsets(winter))
    const undoing = open.imports.undoImport(line.id, 'Ada')
    await open.imports.stop()
    expect(await undoing).toMatchObject({ ok: false, error: 'busy' })
    again()
    expect(open.imports.imports()[0]).toMatchObject({ state: 'broken', added: line.added })
    const { removed } = await undone(line.id)
    expect(removed).toBeGreaterThan(0)
    expect(removed).toBeLessThan(line.added)
    expect(kept(open.db)).toEqual([[], [], []])
  })

  test('a stop ends it where it is, and says so', async () => {
    const look = await held(withOffsets(winter))
    await open.imports.beginImport(look.id, toProbe(look), 'Ada')
    await open.imports.stop()
    expect(open.imports.imports()[0]).toMatchObject({ state: 'broken' })
  })
})

describe('what is asked first', () => {
  const table = (rows: readonly string[]) => Buffer.from(['time,temp,hum', ...rows].join('\n'))

  test('the zone of local times, and the order of day and month where it is open', async () => {
    const open_ = await held(table(['01/02/2025 00:00,4,80', '02/02/2025 00:00,5,80']))
    expect([open_.isLocal, open_.dayOrder]).toEqual([true, 'ambiguous'])
    const { zone: _, ...withoutZone } = toProbe(open_)
    expect(await open.imports.beginImport(open_.id, withoutZone, 'Ada')).toMatchObject({
      ok: false,
      error: 'askZone',
    })
    expect(await open.imports.beginImport(open_.id, toProbe(open_), 'Ada')).toMatchObject({
      ok: false,
      error: 'askDayOrder',
    })
    const looks = await open.imports.lookThrough(open_.id, { dayOrder: 'monthFirst', zone: 'UTC' })
    expect(looks.ok && looks.value.rows[0]?.at).toBe(Date.UTC(2025, 0, 2))
    const begun = await open.imports.beginImport(
      open_.id,
      { ...toProbe(open_), zone: 'UTC', dayOrder: 'monthFirst' },
      'Ada',
    )
    expect(begun.ok).toBe(true)
    await open.imports.settled()
    expect(open.store.span(probe, 'temperature')?.first).toBe(Date.UTC(2025, 0, 2))
  })

  test('sensors, places and columns that are there, each quantity once', async () => {
    const look = await held(table(['2025-01-02T00:00Z,4,80', '2025-01-03T00:00Z,4,80']))
    const one = {
      column: 1,
      quantity: 'temperature',
      unit: 'celsius',
      to: { kind: 'known', sensor: probe },
    } as const
    const tries: [Partial<ImportChoice>, string][] = [
      [{ columns: [{ ...one, to: { kind: 'known', sensor: SensorId.parse('nobody') } }] }, 'noSuchSensor'],
      [
        { columns: [{ ...one, to: { kind: 'newLogger', name: 'x', place: PlaceId.parse('attic') } }] },
        'noSuchPlace',
      ],
      [{ columns: [{ ...one, column: 3 }] }, 'noSuchColumn'],
      [{ columns: [one, { ...one, column: 2 }] }, 'sameTwice'],
    ]
    for (const [choice, error] of tries)
      expect(await open.imports.beginImport(look.id, { columns: [one], ...choice }, 'Ada')).toMatchObject({
        ok: false,
        error,
      })
    expect(open.imports.imports()).toEqual([])
  })

  test('what is no table is refused in words, and does not wait', async () => {
    const outcome = await open.imports.holdTable('x.csv', inPieces(Buffer.from('hello\nworld')), 'Ada')
    expect(outcome).toMatchObject({ ok: false, error: 'notATable' })
  })

  test('X3: a table may have so many rows, and not one more', async () => {
    const text = table(['2025-01-02T00:00Z,4,80', '2025-01-03T00:00Z,4,80'])
    const waiting = { id: 't00000001' as ImportId, file: 'x', bytes: text.length, read: () => inPieces(text) }
    const world = { zone: 'UTC', now, pause: async () => undefined }
    expect(await lookAt(waiting, {}, world, 3)).toMatchObject({ ok: true, value: { counts: { rows: 2 } } })
    expect(await lookAt(waiting, {}, world, 2)).toMatchObject({ ok: false, error: 'tooManyRows' })
    expect(tableRows).toBe(2_000_000)
  })

  test('X3: a table may have 64 MiB, and not a byte more', async () => {
    const scratch = scratchFolder(`${folder.path}/tables`)
    const id = 't00000001' as ImportId
    const chunk = new Uint8Array(tableBytes / 64)
    async function* bytes(more: number) {
      for (let i = 0; i < 64; i++) yield chunk
      if (more > 0) yield chunk.subarray(0, more)
    }
    expect(await scratch.keep(id, bytes(0))).toEqual({ ok: true, value: tableBytes })
    expect(await scratch.keep(id, bytes(1))).toMatchObject({ ok: false, error: 'tooLarge' })
  })
})

describe.skipIf(unable !== null)('a full disk', () => {
  test('X3: refuses a table that it has no room for, and keeps nothing of it', async () => {
    const disk = smallDisk(1)
    try {
      const scratch = scratchFolder(`${disk.path}/tables`)
      const outcome = await scratch.keep('t00000001' as ImportId, inPieces(new Uint8Array(2_000_000)))
      expect(outcome).toMatchObject({ ok: false, error: 'diskFull' })
      expect(readdirSync(`${disk.path}/tables`)).toEqual([])
    } finally {
      disk.remove()
    }
  })
})

test('instants of an hour are packed and unpacked', () => {
  fc.assert(
    fc.property(fc.array(fc.nat(3_599_999), { maxLength: 50 }), (steps) => {
      const at = [...new Set(steps)].sort((a, b) => a - b).map((ms) => 1_700_000_000_000 + ms)
      expect(unpackTimes(packTimes(at))).toEqual(at)
    }),
  )
})

const gaps = (rows: readonly WinterRow[]): number =>
  rows.filter(({ temperature }) => temperature === null).length +
  rows.filter(({ humidity }) => humidity === null).length

/** A store that takes so many parts of a table and no more; `isDead`: nor anything about it. */
function failingAfter(parts: number, cause: () => Error, isDead = false) {
  return (store: Store): Store => {
    let count = 0
    return {
      ...store,
      takeIn(...given) {
        if (count++ >= parts) throw cause()
        return store.takeIn(...given)
      },
      saveImport(line) {
        if (isDead && count > parts) throw cause()
        store.saveImport(line)
      },
    }
  }
}
