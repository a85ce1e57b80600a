import type { Database } from 'better-sqlite3'
import { qualityCode, qualityFromCode } from '../../schemas/reading.ts'
import { instant } from '../../schemas/amounts.ts'
import type { JudgedReading } from '../ports/store.ts'
import { hourOf } from './hour.ts'
import { addToHour, dropFromHour, hotHour, type HotHour } from './hot-hour.ts'
import type { SeriesRegister } from './series.ts'

export type HotReadings = ReturnType<typeof hotReadings>

/**
 * The append table of readings that wait for the fold, and the same rows in memory by series and hour: the table has
 * no second index, so memory recognises repeats and answers reads. Methods that write run inside a transaction;
 * `forgetAfter` takes memory back to where it was when that transaction failed.
 */
export function hotReadings(db: Database, series: SeriesRegister) {
  const insertOne = db.prepare<[number[]]>(
    `INSERT INTO hot (seq, series, at, value, quality) VALUES ${rowOfFive}`,
  )
  const insertMany = db.prepare<[number[]]>(
    `INSERT INTO hot (seq, series, at, value, quality) VALUES ${Array<string>(rowsPerInsert).fill(rowOfFive).join(', ')}`,
  )
  const remove = db.prepare<[number, number]>('DELETE FROM hot WHERE seq BETWEEN ? AND ?')
  const selectSince = db
    .prepare<[number], HotRow>('SELECT seq, series, at, value, quality FROM hot WHERE seq > ? ORDER BY seq')
    .raw()

  const hoursOf = new Map<number, Map<number, HotHour>>()
  let count = 0
  // the snapshot knows every row that a fold has taken out, so the numbers never start again
  let lastSeq = Number(db.prepare('SELECT coalesce(max(seq), 0) FROM snapshot').pluck().get())

  function remember(id: number, at: number, value: number, quality: number, seq: number): boolean {
    const hours = hoursOf.get(id) ?? addTo(hoursOf, id, new Map<number, HotHour>())
    const hour = hourOf(at)
    if (!addToHour(hours.get(hour) ?? addTo(hours, hour, hotHour()), at, value, quality, seq)) return false
    count++
    lastSeq = seq
    return true
  }

  for (const [seq, id, at, value, quality] of selectSince.iterate(0)) remember(id, at, value, quality, seq)

  return {
    /** Stores each reading unless its series already has one of that instant waiting. */
    add(readings: readonly JudgedReading[]): void {
      let rows: number[] = []
      for (const { sensor, quantity, at, value, quality } of readings) {
        const { id } = series.ensure(sensor, quantity)
        const seq = lastSeq + 1
        const plain = value + 0 // −0 becomes 0, as it does in a block
        const code = qualityCode(quality)
        if (!remember(id, at, plain, code, seq)) continue
        rows.push(seq, id, at, plain, code)
        if (rows.length < rowsPerInsert * 5) continue
        insertMany.run(rows)
        rows = []
      }
      for (let i = 0; i < rows.length; i += 5) insertOne.run(rows.slice(i, i + 5))
    },

    /** Number of the newest reading; counts up for ever. */
    lastSeq: () => lastSeq,
    count: () => count,

    /** In order of arrival, every waiting reading numbered above `seq`. */
    since: (seq: number): JudgedReading[] =>
      selectSince.all(seq).map(([, id, at, value, quality]) => {
        const { sensor, quantity } = series.get(id)
        return { sensor, quantity, at: instant(at), value, quality: qualityFromCode(quality) }
      }),

    /** The waiting rows of one hour. */
    hour: (id: number, hour: number): HotHour | undefined => hoursOf.get(id)?.get(hour),

    /** Ascending hours from `from` to `to`, both included, in which the series has rows waiting. */
    hours(id: number, from: number, to: number): number[] {
      const hours = hoursOf.get(id)
      if (!hours || hours.size === 0) return []
      if (to - from < hours.size) return hoursBetween(from, to).filter((hour) => hours.has(hour))
      return [...hours.keys()].filter((hour) => hour >= from && hour <= to).sort((a, b) => a - b)
    },

    /** Every (series, hour) before `hour`, oldest hours first. */
    before: (hour: number): { readonly id: number; readonly hour: number }[] =>
      [...hoursOf]
        .flatMap(([id, hours]) => [...hours.keys()].filter((h) => h < hour).map((h) => ({ id, hour: h })))
        .sort((a, b) => a.hour - b.hour || a.id - b.id),

    /** Takes the rows of these hours out of the table. */
    remove(hours: readonly HotHour[]): void {
      for (const [first, last] of runsOf(hours)) remove.run(first, last)
    },

    /** Forgets an hour whose removal is committed. */
    forget(id: number, hour: number): void {
      count -= hoursOf.get(id)?.get(hour)?.length ?? 0
      hoursOf.get(id)?.delete(hour)
    },

    /** Forgets every row that arrived after `seq`: the transaction that added them did not happen. */
    forgetAfter(seq: number): void {
      if (lastSeq === seq) return
      for (const hours of hoursOf.values())
        for (const [hour, rows] of hours) {
          count -= dropFromHour(rows, seq)
          if (rows.length === 0) hours.delete(hour)
        }
      lastSeq = seq
    },
  }
}

/** Rows in one statement: beyond this the call costs little beside the row (measured: 1.4 times the rate of single rows). */
const rowsPerInsert = 16
const rowOfFive = '(?, ?, ?, ?, ?)'

type HotRow = readonly [seq: number, series: number, at: number, value: number, quality: number]

function addTo<Key, Value>(map: Map<Key, Value>, key: Key, value: Value): Value {
  map.set(key, value)
  return value
}

const hoursBetween = (from: number, to: number): number[] =>
  Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i)

/** The rows' numbers as unbroken runs, so that an hour in order goes with a handful of deletes. */
function runsOf(hours: readonly HotHour[]): [first: number, last: number][] {
  const all = new Float64Array(hours.reduce((sum, hour) => sum + hour.length, 0))
  let n = 0
  for (const hour of hours) {
    all.set(hour.seq.subarray(0, hour.length), n)
    n += hour.length
  }
  const runs: [number, number][] = []
  for (const seq of all.sort()) {
    const run = runs.at(-1)
    if (run && run[1] === seq - 1) run[1] = seq
    else runs.push([seq, seq])
  }
  return runs
}
