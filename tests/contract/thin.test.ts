import type { Database } from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { JudgedReading, Store, Summary } from '../../daemon/ports/store.ts'
import type { Point } from '../../daemon/ports/zones.ts'
import { instant, later, millis } from '../../schemas/amounts.ts'
import {
  aReading,
  batchOf,
  clock,
  hour,
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

const fold = (hours = 100) => store.fold(clock(hours), zonesByHand, 'folded')
const everyTenMinutes = (from: number, to: number, value = (i: number) => 4 + (i % 7) / 10) =>
  Array.from({ length: (to - from) * 6 }, (_, i) => aReading(clock(from) + i * 10 * minute, value(i)))
const hourly = (from: number, to: number) =>
  Array.from({ length: to - from }, (_, i) => ({ from: clock(from + i), to: clock(from + i + 1) }))
const summaries = (stretches: readonly { from: ReturnType<typeof clock>; to: ReturnType<typeof clock> }[]) =>
  store.summaries(probe, 'temperature', stretches, zonesByHand)
const summary = (from: number, to: number) => summaries([{ from: clock(from), to: clock(to) }])[0] as Summary
const valuesIn = (from: number, to: number) =>
  store.readings(probe, 'temperature', clock(from), clock(to)).map(({ value }) => value)

describe('N2: thinning', () => {
  test('takes the single readings of the oldest hours, as many hours as asked, and leaves their figures', () => {
    store.commit(batchOf(...everyTenMinutes(0, 5)))
    fold()
    const before = summaries(hourly(0, 5))
    const night = summary(0, 5)
    const result = store.thin(clock(100), 2)
    expect(result).toMatchObject({ hours: 2, readings: 12 })
    expect(result.bytes).toBeGreaterThan(0)
    expect(valuesIn(0, 5)).toHaveLength(18)
    expect(valuesIn(0, 2)).toEqual([])
    expect(summaries(hourly(0, 5))).toEqual(before)
    expect(summary(0, 5)).toEqual(night)
    expect(store.span(probe, 'temperature')).toEqual({ first: clock(0), last: later(clock(5), -10 * minute) })
    store.close()
    ;({ db, store } = openStore(folder.path))
    expect(summaries(hourly(0, 5))).toEqual(before)
  })

  test('stops at `before`: an hour that ends at that very instant goes, one that ends a millisecond later stays', () => {
    store.commit(batchOf(...everyTenMinutes(0, 3)))
    fold()
    expect(store.thin(later(clock(1), -1), 9).hours).toBe(0)
    expect(store.thin(clock(1), 9).hours).toBe(1)
    expect(store.thin(clock(1), 9)).toEqual({ hours: 0, readings: 0, bytes: 0 })
    expect(store.thin(clock(3), 0).hours).toBe(0)
    expect(valuesIn(1, 3)).toHaveLength(12)
  })

  test('takes the oldest first, whichever sensor they are of', () => {
    const other = everyTenMinutes(0, 3).map((reading) => ({ ...reading, sensor: otherProbe }))
    store.commit(batchOf(...everyTenMinutes(0, 3), ...other))
    fold()
    store.thin(clock(100), 3)
    expect(valuesIn(0, 3)).toHaveLength(6)
    expect(store.readings(otherProbe, 'temperature', clock(0), clock(3))).toHaveLength(12)
  })

  test('leaves an hour on which a waiting reading may still bear until it is folded', () => {
    store.commit(batchOf(...everyTenMinutes(0, 1), ...everyTenMinutes(30, 31)))
    fold()
    store.commit(batchOf(aReading(clock(7), 4))) // within a day before the later hour, after the first
    expect(store.thin(clock(100), 9).hours).toBe(1)
    expect(valuesIn(30, 31)).toHaveLength(6)
    fold()
    expect(store.thin(clock(100), 9).hours).toBe(2)
  })

  test('changes nothing when it fails half-way', () => {
    store.commit(batchOf(...everyTenMinutes(0, 3)))
    fold()
    const before = summaries(hourly(0, 3))
    db.exec(
      `CREATE TEMP TRIGGER fault BEFORE DELETE ON block_data WHEN old.key > ${(clock(1) / hour) * 2 ** 20}
      BEGIN SELECT RAISE(ABORT, 'no further'); END`,
    )
    expect(() => store.thin(clock(100), 9)).toThrow('no further')
    expect(valuesIn(0, 3)).toHaveLength(18)
    expect(summaries(hourly(0, 3))).toEqual(before)
  })

  test('the size tells what is kept of which time, and what the file holds', () => {
    expect(store.size()).toMatchObject({ everyReadingFrom: null, hourlyFrom: null })
    store.commit(batchOf(...everyTenMinutes(2, 30)))
    expect(store.size()).toMatchObject({ everyReadingFrom: clock(2), hourlyFrom: null })
    fold()
    const full = store.size()
    expect(full).toMatchObject({ everyReadingFrom: clock(2), hourlyFrom: null })
    store.thin(clock(12), 99)
    expect(store.size()).toMatchObject({ everyReadingFrom: clock(12), hourlyFrom: clock(2) })
    expect(store.size().fileBytes).toBe(full.fileBytes)
    expect(store.size().usedBytes).toBeLessThanOrEqual(full.usedBytes)
    store.thin(clock(99), 99)
    expect(store.size()).toMatchObject({ everyReadingFrom: null, hourlyFrom: clock(2) })
    store.commit(batchOf(aReading(clock(3) + minute, 4))) // late, into a thinned hour: not every reading of that is kept
    expect(store.size().everyReadingFrom).toBeNull()
  })

  test('the room of what was taken out is used again', () => {
    const loud = (i: number) => Math.sin(i * i) * 10
    store.commit(batchOf(...everyTenMinutes(0, 600, loud)))
    fold(700)
    const { usedBytes, fileBytes } = store.size()
    store.thin(clock(500), 9999)
    expect(store.size().usedBytes).toBeLessThan(usedBytes)
    store.commit(batchOf(...everyTenMinutes(600, 900, loud)))
    fold(1000)
    expect(store.size().fileBytes).toBeLessThan(fileBytes * 1.5)
  })
})

describe('L5: a late reading of a thinned hour', () => {
  const values = [3, 4, 5, 6, 7, 8]
  beforeEach(() => {
    store.commit(batchOf(...values.map((value, i) => aReading(clock(1) + (i + 1) * 8 * minute, value))))
    store.commit(batchOf(...everyTenMinutes(2, 3)))
    fold()
    store.thin(clock(2), 9)
  })

  test('is counted into its figures, waiting or folded, and never writes over them', () => {
    const { zones } = summary(1, 2)
    store.commit(
      batchOf(
        aReading(clock(1) + 20 * minute, 1),
        aReading(clock(1) + 21 * minute, 99, { quality: 'spike' }),
      ),
    )
    const expected = { readings: 7, min: 1, max: 8, mean: 34 / 7, zones }
    expect(summary(1, 2)).toEqual(expected)
    expect(store.fold(clock(100), zonesByHand, 's')).toEqual({ blocks: 1, readings: 2, late: 2 })
    expect(summary(1, 2)).toEqual(expected)
    expect(valuesIn(1, 2)).toEqual([])
    expect(store.unfolded()).toBe(0)
  })

  test('moves its ends, and the last value that the hour after it leans on', () => {
    const last = clock(1) + 55 * minute
    store.commit(batchOf(aReading(clock(1) + minute, 4), aReading(last, 1.5)))
    fold()
    expect(store.span(probe, 'temperature')?.first).toBe(clock(1) + minute)
    expect(
      db.prepare('SELECT good_first, good_last, last_value FROM block WHERE hour = ?').get(clock(1) / hour),
    ).toEqual({
      good_first: clock(1) + minute,
      good_last: last,
      last_value: 1.5,
    })
    // between them nothing else is known: the value in force in the middle is asked of the blocks
    const asked: (Point | null)[] = []
    store.summaries(
      probe,
      'temperature',
      [{ from: clock(2), to: instant(clock(2) + minute) }],
      (...question) => {
        asked.push(question[3])
        return zonesByHand(...question)
      },
    )
    expect(asked).toEqual([[last, 1.5]])
  })

  test('that repeats its first or last one is known as a repeat', () => {
    const before = summary(1, 2)
    store.commit(batchOf(aReading(clock(1) + 8 * minute, 50), aReading(clock(1) + 48 * minute, 50)))
    expect(summary(1, 2)).toEqual(before)
    expect(fold()).toEqual({ blocks: 0, readings: 0, late: 0 })
    expect(summary(1, 2)).toEqual(before)
  })

  test('before an hour that is thinned too leaves that hour’s zones as they were', () => {
    store.thin(clock(3), 9)
    const before = summary(2, 3)
    store.commit(batchOf(aReading(clock(1) + 59 * minute, -5)))
    fold()
    expect(summary(2, 3)).toEqual(before)
    expect(summary(1, 2).min).toBe(-5)
  })
})

describe('a thinned hour', () => {
  beforeEach(() => {
    store.commit(batchOf(...everyTenMinutes(0, 4)))
    fold()
  })

  test('is drawn as lowest, mean and highest at the middle of its readings, without a gap to the next', () => {
    store.thin(clock(2), 9)
    const { resolution, columns } = store.columns(
      probe,
      'temperature',
      clock(0),
      clock(4),
      600,
      millis(30 * minute),
    )
    expect(resolution).toBe('columns')
    expect(columns.at.slice(0, 2).map((at) => Math.round((at - clock(0)) / minute))).toEqual([25, 85])
    expect(columns.low[0]).toBe(4)
    expect(columns.high[0]).toBe(4.5)
    expect(columns.mean[0]).toBeCloseTo(4.25, 9)
    expect(columns.at).toHaveLength(2 + 12)
    expect(columns.low).not.toContain(null)
  })

  test('that an end of the stretch cuts counts once, on one side of it, and its zones by their part', () => {
    const all = summary(0, 4)
    store.thin(clock(4), 9)
    const [left, right] = [summary(0, 1.5), summary(1.5, 4)]
    expect(left.readings + right.readings).toBe(all.readings)
    const sum = (of: Summary) => Object.values<number>({ ...of.zones }).reduce((a, b) => a + b)
    expect(sum(left)).toBeCloseTo(1.5 * hour, 3)
    expect(sum(right)).toBeCloseTo(2.5 * hour, 3)
    expect(left.zones.inside + right.zones.inside).toBeCloseTo(all.zones.inside, 3)
  })

  test('whose readings all lie in the stretch counts whole though an end cuts it', () => {
    store.thin(clock(4), 9)
    expect(summary(0, 3 + 51 / 60).readings).toBe(24)
    expect(summary(0, 3 + 10 / 60).readings).toBe(18)
    expect(summary(3 + 51 / 60, 4).readings).toBe(0)
  })

  test('still says what was in force at its end', () => {
    store.thin(clock(4), 9)
    const known = summary(4, 4.5)
    expect(known.zones.inside).toBe(20 * minute) // 10 min of the 30 that it holds are over
  })
})

const anyReading = fc
  .record({
    sensor: fc.constantFrom(probe, otherProbe),
    at: fc.integer({ min: 0, max: 20 * 60 - 1 }).map((n) => clock(n / 60)),
    value: fc.integer({ min: -50, max: 150 }).map((n) => n / 10),
    quality: fc.constantFrom('good' as const, 'good' as const, 'good' as const, 'spike' as const),
  })
  .map(({ at, value, ...more }) => aReading(at, value, more))
const anyAct = fc.oneof(
  { weight: 5, arbitrary: fc.record({ commit: fc.array(anyReading, { maxLength: 60 }) }) },
  { weight: 3, arbitrary: fc.record({ fold: fc.integer({ min: 0, max: 21 }) }) },
  {
    weight: 3,
    arbitrary: fc.record({ thin: fc.integer({ min: 0, max: 21 }), atMost: fc.integer({ min: 1, max: 12 }) }),
  },
  { weight: 1, arbitrary: fc.record({ reopen: fc.constant(true) }) },
)
const sensors = [probe, otherProbe]

test('N2, L5: whatever is committed, late, folded and thinned, every hour keeps its figures and its time', () => {
  const everyHour = hourly(0, 20)
  fc.assert(
    fc.property(fc.array(anyAct, { minLength: 4, maxLength: 16 }), (acts) => {
      const here = temporaryFolder()
      let { store: kept } = openStore(here.path)
      const model = new Map<string, JudgedReading>()
      const thinned = new Map<string, Summary['zones']>()
      const nameOf = (sensor: string, at: number): string => `${sensor} ${Math.floor(at / hour)}`
      const hoursOf = (sensor: (typeof sensors)[number]) =>
        kept.summaries(sensor, 'temperature', everyHour, zonesByHand)

      function check(): void {
        for (const sensor of sensors) {
          const all = [...model.values()].filter((r) => r.sensor === sensor)
          const good = all.filter((r) => r.quality === 'good').sort((a, b) => a.at - b.at)
          const figures = hoursOf(sensor)
          everyHour.forEach(({ from, to }, i) => {
            const values = good.filter(({ at }) => at >= from && at < to).map(({ value }) => value)
            expect(figures[i]).toMatchObject({
              readings: values.length,
              min: values.length ? Math.min(...values) : null,
              max: values.length ? Math.max(...values) : null,
            })
            if (values.length)
              expect(figures[i]?.mean).toBeCloseTo(values.reduce((a, b) => a + b) / values.length, 9)
            const before = good.filter(({ at }) => at < from && at >= from - 24 * hour).at(-1)
            const points = good.filter(({ at }) => at >= from && at < to)
            const told =
              thinned.get(nameOf(sensor, from)) ??
              zonesByHand(
                sensor,
                'temperature',
                { from, to },
                before ? [before.at, before.value] : null,
                points.map(({ at, value }) => [at, value] as const),
              )
            expect(figures[i]?.zones).toEqual(told)
          })
          const drawn = kept.columns(sensor, 'temperature', clock(0), clock(20), 20, millis(1000 * hour))
          const total = drawn.columns.mean.length
          const busy = figures.filter(({ readings }) => readings > 0).length
          if (drawn.resolution === 'columns') expect(total).toBe(busy)
          const span = all.map(({ at }) => at)
          expect(kept.span(sensor, 'temperature')).toEqual(
            all.length === 0 ? null : { first: Math.min(...span), last: Math.max(...span) },
          )
        }
      }

      try {
        for (const act of acts) {
          if ('commit' in act) {
            // a repeat of a thinned reading cannot be told from a new one, but for those at the hour's ends
            const some = act.commit.filter(
              (r) => !(thinned.has(nameOf(r.sensor, r.at)) && model.has(`${r.sensor} ${r.at}`)),
            )
            kept.commit(batchOf(...some))
            for (const r of some) if (!model.has(`${r.sensor} ${r.at}`)) model.set(`${r.sensor} ${r.at}`, r)
          } else if ('fold' in act) kept.fold(clock(act.fold), zonesByHand, 's')
          else if ('thin' in act) {
            const zones = sensors.map((sensor) => hoursOf(sensor).map((one) => one.zones))
            const held = sensors.map((sensor) =>
              everyHour.map(({ from, to }) => kept.readings(sensor, 'temperature', from, to).length),
            )
            const { hours } = kept.thin(clock(act.thin), act.atMost)
            expect(hours).toBeLessThanOrEqual(act.atMost)
            let gone = 0
            sensors.forEach((sensor, s) =>
              everyHour.forEach(({ from, to }, i) => {
                const left = kept.readings(sensor, 'temperature', from, to).length
                if (left === held[s]?.[i]) return
                gone++
                expect(to).toBeLessThanOrEqual(clock(act.thin))
                expect(left).toBe(0)
                thinned.set(nameOf(sensor, from), zones[s]?.[i] as Summary['zones'])
              }),
            )
            expect(gone).toBe(hours)
          } else {
            kept.close()
            ;({ store: kept } = openStore(here.path))
          }
          check()
        }
      } finally {
        kept.close()
        here.remove()
      }
    }),
    { numRuns: 60 },
  )
}, 60_000)
