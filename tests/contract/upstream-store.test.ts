import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import fc from 'fast-check'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { salvage } from '../../daemon/sqlite/salvage.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { sqliteUpstream } from '../../daemon/sqlite/upstream.ts'
import { AlarmId } from '../../schemas/ids.ts'
import { alarmChanges } from '../../schemas/journal.ts'
import {
  aReading,
  batchOf,
  clock,
  otherProbe,
  probe,
  temporaryFolder,
  zonesByHand,
} from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let close = () => {}
beforeEach(() => {
  folder = temporaryFolder()
})
afterEach(() => {
  close()
  folder.remove()
})

function open() {
  const db = openDatabase(folder.path)
  const store = sqliteStore(db)
  close = () => db.close()
  return { db, store, upstream: sqliteUpstream(db) }
}

const keyOf = ({ sensor, quantity, at }: Pick<JudgedReading, 'sensor' | 'quantity' | 'at'>) =>
  `${sensor} ${quantity} ${at}`

describe('what goes on to a broker elsewhere', () => {
  test('the first time begins at the end of what there is, and later where it was kept', () => {
    let { store, upstream } = open()
    store.commit(batchOf(aReading(clock(0), 1), aReading(clock(0.1), 2)))
    const first = upstream.begin()
    expect(upstream.readingsAfter(first.seq, 10)).toEqual([])
    store.commit(batchOf(aReading(clock(0.2), 3)))
    expect(upstream.readingsAfter(first.seq, 10)).toMatchObject([{ at: clock(0.2), sensor: probe }])
    close()
    ;({ store, upstream } = open())
    expect(upstream.begin()).toEqual(first)
    upstream.save({ seq: first.seq + 1, line: first.line }, [])
    close()
    ;({ upstream } = open())
    expect(upstream.begin()).toEqual({ seq: first.seq + 1, line: first.line })
  })

  test('an hour that is folded before all of it went is owed, one that went is not', () => {
    const { store, upstream } = open()
    const start = upstream.begin()
    store.commit(batchOf(aReading(clock(0), 1), aReading(clock(0.5), 2)))
    const [, last] = upstream.readingsAfter(start.seq, 10)
    upstream.save({ ...start, seq: last?.seq ?? 0 }, [])
    store.commit(batchOf(aReading(clock(1.5), 3), aReading(clock(1.5), 3, { sensor: otherProbe })))
    store.fold(clock(3), zonesByHand, 'folded')
    expect(upstream.readingsAfter(start.seq, 10)).toEqual([])
    expect(upstream.owed(10)).toMatchObject([
      { sensor: probe, quantity: 'temperature', from: clock(1), to: clock(2) },
      { sensor: otherProbe, from: clock(1) },
    ])
    expect(upstream.waiting(start, alarmChanges)).toEqual({
      readings: 0,
      hours: 2,
      alarmChanges: 0,
      oldest: clock(1),
    })
  })

  test('L5: what comes late to an hour while that is on its way leaves it owed', () => {
    const { store, upstream } = open()
    const start = upstream.begin()
    store.commit(batchOf(aReading(clock(0), 1)))
    store.fold(clock(2), zonesByHand, 'folded')
    const onItsWay = upstream.owed(10)
    store.commit(batchOf(aReading(clock(0.5), 9)))
    store.fold(clock(3), zonesByHand, 'folded')
    upstream.save(start, onItsWay)
    const [again] = upstream.owed(10)
    expect(again).toMatchObject({ from: clock(0) })
    upstream.save(start, again ? [again] : [])
    expect(upstream.owed(10)).toEqual([])
  })

  test('where no broker is set nothing is owed, and one that is taken out is forgotten', () => {
    const { db, store, upstream } = open()
    const writes = () => Number(db.prepare('SELECT total_changes()').pluck().get())
    const before = writes()
    upstream.end()
    expect(writes()).toBe(before)
    store.commit(batchOf(aReading(clock(0), 1)))
    store.fold(clock(2), zonesByHand, 'folded')
    expect(upstream.owed(10)).toEqual([])
    upstream.begin()
    store.commit(batchOf(aReading(clock(2), 1)))
    store.fold(clock(4), zonesByHand, 'folded')
    expect(upstream.owed(10)).toHaveLength(1)
    upstream.end()
    expect(upstream.owed(10)).toEqual([])
    store.commit(batchOf(aReading(clock(4), 1)))
    store.fold(clock(6), zonesByHand, 'folded')
    expect(upstream.owed(10)).toEqual([])
  })

  test('X3: beyond the bound the oldest hours are let go of, at the bound none', () => {
    const { store, upstream } = open()
    upstream.begin()
    store.commit(batchOf(...[0, 1, 2, 3].map((hour) => aReading(clock(hour), hour))))
    store.fold(clock(5), zonesByHand, 'folded')
    expect(upstream.keepNewest(4)).toBe(0)
    expect(upstream.keepNewest(3)).toBe(1)
    expect(upstream.owed(10).map(({ from }) => from)).toEqual([clock(1), clock(2), clock(3)])
  })

  test('changes of alarms come in the order of writing, and nothing of what people were told', () => {
    const { store, upstream } = open()
    const alarm = AlarmId.parse('limit:box:temperature:low')
    const line = (kind: 'raised' | 'told' | 'returned' | 'noted', hour: number) => ({
      at: clock(hour),
      kind,
      by: 'brumal',
      ...(kind === 'noted' ? {} : { alarm }),
    })
    store.commit({ readings: [], journal: [line('raised', 0)] })
    const start = upstream.begin()
    store.commit({
      readings: [],
      journal: [line('told', 1), line('returned', 2), line('noted', 3), line('raised', 1.5)],
    })
    const lines = upstream.linesAfter(start.line, alarmChanges, 10)
    expect(lines.map(({ kind }) => kind)).toEqual(['returned', 'raised'])
    expect(upstream.waiting(start, alarmChanges)).toMatchObject({ alarmChanges: 2, oldest: clock(1.5) })
    expect(upstream.linesAfter(lines[0]?.id ?? 0, alarmChanges, 1).map(({ kind }) => kind)).toEqual([
      'raised',
    ])
  })

  test('a database made anew from a backup, which counts lower, passes on what waits in it', () => {
    const { db, store, upstream } = open()
    store.commit(batchOf(aReading(clock(0), 1)))
    upstream.begin()
    db.exec('UPDATE upstream SET seq = 5000, journal = 5000')
    const { seq, line } = upstream.begin()
    expect(upstream.readingsAfter(seq, 10)).toHaveLength(1)
    expect(line).toBe(0)
  })

  test('a database that is made anew from a damaged one goes on where that stood', () => {
    const { store, upstream } = open()
    const start = upstream.begin()
    store.commit(batchOf(aReading(clock(0), 1)))
    store.fold(clock(2), zonesByHand, 'folded')
    store.commit(batchOf(aReading(clock(2), 2)))
    close()
    const fresh = temporaryFolder()
    const to = openDatabase(fresh.path)
    sqliteUpstream(to).begin() // as a backup holds it
    salvage(join(folder.path, databaseName), to)
    const anew = sqliteUpstream(to)
    expect(anew.begin()).toEqual(start)
    expect(anew.owed(10)).toMatchObject([{ sensor: probe, from: clock(0) }])
    expect(anew.readingsAfter(start.seq, 10)).toMatchObject([{ at: clock(2) }])
    to.close()
    fresh.remove()
    close = () => {}
  })

  test('whatever the order of coming, folding, keeping and dying, every reading goes at least once', () => {
    const act = fc.oneof(
      { weight: 6, arbitrary: fc.record({ does: fc.constant('comes' as const), slot: fc.nat(40) }) },
      { weight: 3, arbitrary: fc.record({ does: fc.constant('goes' as const), slot: fc.nat(3) }) },
      { weight: 2, arbitrary: fc.record({ does: fc.constant('folds' as const), slot: fc.nat(6) }) },
      { weight: 2, arbitrary: fc.record({ does: fc.constant('keeps' as const), slot: fc.constant(0) }) },
      { weight: 1, arbitrary: fc.record({ does: fc.constant('dies' as const), slot: fc.constant(0) }) },
    )
    fc.assert(
      fc.property(fc.array(act, { maxLength: 60 }), (acts) => {
        let { store, upstream } = open()
        let cursor = upstream.begin()
        let settled: ReturnType<typeof upstream.owed> = []
        const kept = new Set<string>()
        const gone = new Set<string>()
        const go = (atMost: number) => {
          const fresh = upstream.readingsAfter(cursor.seq, atMost)
          for (const place of fresh) gone.add(keyOf(place))
          cursor = { ...cursor, seq: fresh.at(-1)?.seq ?? cursor.seq }
          if (fresh.length > 0) return true
          const hours = upstream.owed(atMost)
          for (const { sensor, quantity, from, to } of hours)
            for (const one of store.readings(sensor, quantity, from, to)) gone.add(keyOf(one))
          settled = hours
          upstream.save(cursor, settled)
          return hours.length > 0
        }
        for (const { does, slot } of acts) {
          if (does === 'comes') {
            const reading = aReading(clock(slot / 8), slot, { sensor: slot % 3 ? probe : otherProbe })
            store.commit(batchOf(reading))
            kept.add(keyOf(reading))
          } else if (does === 'goes') go(slot + 1)
          else if (does === 'folds') store.fold(clock(slot), zonesByHand, 'folded')
          else if (does === 'keeps') upstream.save(cursor, [])
          else {
            close()
            ;({ store, upstream } = open())
            cursor = upstream.begin()
          }
        }
        while (go(100));
        close()
        folder.remove()
        folder = temporaryFolder()
        expect([...kept].filter((key) => !gone.has(key))).toEqual([])
      }),
      { numRuns: 25 },
    )
  })
})
