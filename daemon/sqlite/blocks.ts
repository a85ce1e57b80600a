import type { Database } from 'better-sqlite3'
import type { Point, ZoneTimes } from '../ports/zones.ts'
import { instant } from '../../schemas/amounts.ts'
import { decodeBlock, encodeBlock } from './block-codec.ts'
import { hourMs, lookBackHours } from './hour.ts'
import { countGood, good, type Rows } from './rows.ts'
import type { ThinnedHour } from './thinned-hour.ts'
import { StorageError } from './storage-error.ts'

/** One hour of one series in figures; the good readings only, `zones` as the fold was told. */
export interface BlockSummary extends ZoneTimes {
  readonly hour: number
  readonly good: number
  readonly min: number
  readonly max: number
  readonly sum: number
  /** Instants of the first and last good reading; null where there is none. */
  readonly first: number | null
  readonly last: number | null
  readonly isThinned: 0 | 1
}

/** An hour that holds good readings: their figures and the instants of the first and last of them. */
export type GoodHour = readonly [
  hour: number,
  good: number,
  min: number,
  max: number,
  sum: number,
  first: number,
  last: number,
  isThinned: 0 | 1,
]

export interface HourRows {
  readonly hour: number
  readonly rows: Rows
}

export type Blocks = ReturnType<typeof blocksOf>

/**
 * Folded readings: per series and hour one row of figures (`block`, by series so that a winter is one short scan) and
 * one packed blob (`block_data`, by hour so that a fold appends). Hours from and to are both included. A thinned hour has
 * no blob, and its count of readings, `n`, stands below zero: the figures alone say so, without a look for the blob.
 */
export function blocksOf(db: Database) {
  const select = db.prepare<[number], Buffer>('SELECT data FROM block_data WHERE key = ?').pluck()
  const selectBetween = db
    .prepare<[number, number, number], [number, Buffer]>(
      `SELECT hour, data FROM block JOIN block_data ON key = hour * ${seriesRoom} + series
      WHERE series = ? AND hour BETWEEN ? AND ? ORDER BY hour`,
    )
    .raw()
  const selectSummaries = db.prepare<[number, number, number], BlockSummary>(
    `SELECT hour, good, min, max, sum, low_critical_ms AS lowCritical, low_ms AS low, inside_ms AS inside,
      high_ms AS high, high_critical_ms AS highCritical, unknown_ms AS unknown, good_first AS first, good_last AS last,
      n < 0 AS isThinned
    FROM block WHERE series = ? AND hour BETWEEN ? AND ? ORDER BY hour`,
  )
  const selectGoodHours = db
    .prepare<[number, number, number], GoodHour>(
      `SELECT hour, good, min, max, sum, good_first, good_last, n < 0
      FROM block WHERE series = ? AND hour BETWEEN ? AND ? AND good > 0 ORDER BY hour`,
    )
    .raw()
  const selectLastGood = db
    .prepare<[number, number, number], [number, number]>(
      `SELECT good_last, last_value FROM block WHERE series = ? AND hour >= ? AND hour < ? AND good > 0
      ORDER BY hour DESC LIMIT 1`,
    )
    .raw()
  const selectAfter = db
    .prepare<[number, number, number], [number, number]>(
      'SELECT hour, good FROM block WHERE series = ? AND hour > ? AND hour <= ? ORDER BY hour',
    )
    .raw()
  const selectFirst = db
    .prepare<[number], number>('SELECT first FROM block WHERE series = ? ORDER BY hour LIMIT 1')
    .pluck()
  const selectLast = db
    .prepare<[number], number>('SELECT last FROM block WHERE series = ? ORDER BY hour DESC LIMIT 1')
    .pluck()
  const selectThinned = db.prepare<[number, number], ThinnedHour>(
    `SELECT -n AS readings, good, first, last, good_first AS goodFirst, good_last AS goodLast, last_value AS lastValue,
      min, max, sum FROM block WHERE series = ? AND hour = ? AND n < 0`,
  )
  const updateThinned = db.prepare<[ThinnedHour & { readonly id: number; readonly hour: number }]>(
    `UPDATE block SET n = -@readings, good = @good, first = @first, last = @last, good_first = @goodFirst,
      good_last = @goodLast, last_value = @lastValue, min = @min, max = @max, sum = @sum
    WHERE series = @id AND hour = @hour`,
  )
  const upsert = db.prepare<(number | null)[]>(
    `INSERT OR REPLACE INTO block VALUES (${Array.from({ length: 18 }, () => '?').join(', ')})`,
  )
  const upsertData = db.prepare<[number, Buffer]>(
    'INSERT OR REPLACE INTO block_data (key, data) VALUES (?, ?)',
  )
  const remove = db.prepare<[number, number]>('DELETE FROM block WHERE series = ? AND hour = ?')
  const removeData = db.prepare<[number]>('DELETE FROM block_data WHERE key = ?')
  const updateZones = db.prepare<[number, number, number, number, number, number, number, number]>(
    `UPDATE block SET low_critical_ms = ?, low_ms = ?, inside_ms = ?, high_ms = ?, high_critical_ms = ?,
      unknown_ms = ? WHERE series = ? AND hour = ?`,
  )

  return {
    rows(id: number, hour: number): Rows | null {
      const data = select.get(keyOf(id, hour))
      return data === undefined ? null : unpack(data, id, hour)
    },

    between: (id: number, from: number, to: number): HourRows[] =>
      selectBetween.all(id, from, to).map(([hour, data]) => ({ hour, rows: unpack(data, id, hour) })),

    summaries: (id: number, from: number, to: number): BlockSummary[] => selectSummaries.all(id, from, to),

    goodHours: (id: number, from: number, to: number): GoodHour[] => selectGoodHours.all(id, from, to),

    /** The last good reading in the blocks of the day before `hour`. */
    lastGoodBefore(id: number, hour: number): Point | null {
      const found = selectLastGood.get(id, hour - lookBackHours, hour)
      return found ? [instant(found[0]), found[1]] : null
    },

    /** Hours after `hour` whose zones hang on its last good value: up to the next with a good reading, within a day. */
    leaningOn(id: number, hour: number): number[] {
      const after = selectAfter.all(id, hour, hour + lookBackHours)
      const next = after.findIndex(([, count]) => count > 0)
      return after.slice(0, next === -1 ? undefined : next + 1).map(([later]) => later)
    },

    /** The figures of an hour of which nothing else is left; undefined for any other. */
    thinned: (id: number, hour: number): ThinnedHour | undefined => selectThinned.get(id, hour),

    /** Its zones stay. */
    saveThinned(id: number, hour: number, figures: ThinnedHour): void {
      updateThinned.run({ ...figures, id, hour })
    },

    first: (id: number): number | undefined => selectFirst.get(id),
    last: (id: number): number | undefined => selectLast.get(id),

    save(id: number, hour: number, rows: Rows, zones: ZoneTimes): void {
      upsert.run(id, hour, rows.length, ...figuresOf(rows), ...zoneColumns(zones))
      upsertData.run(keyOf(id, hour), encodeBlock(rows))
    },

    /** The hour as if nothing had ever been read in it. */
    remove(id: number, hour: number): void {
      remove.run(id, hour)
      removeData.run(keyOf(id, hour))
    },

    saveZones(id: number, hour: number, zones: ZoneTimes): void {
      updateZones.run(...zoneColumns(zones), id, hour)
    },
  }
}

/** Series ids below this fit beside the hour in one key: a thousand times the sensors of a household. */
const seriesRoom = 2 ** 20

/** Of `block_data`: ascending by hour, then by series. */
export const keyOf = (id: number, hour: number): number => hour * seriesRoom + id

export const fromKey = (key: number): { readonly id: number; readonly hour: number } => ({
  id: key % seriesRoom,
  hour: Math.floor(key / seriesRoom),
})

function unpack(data: Buffer, id: number, hour: number): Rows {
  try {
    return decodeBlock(data)
  } catch (cause) {
    const when = new Date(hour * hourMs).toISOString()
    throw new StorageError('databaseIsDamaged', `The block of series ${id} of ${when} is damaged.`, { cause })
  }
}

/** Columns `good` to `sum` of the table. */
function figuresOf(rows: Rows): (number | null)[] {
  const ends = [rows.at[0] as number, rows.at[rows.length - 1] as number]
  const count = countGood(rows)
  if (count === 0) return [0, ...ends, null, null, null, null, null, 0]
  let [min, max, sum, first, last] = [Infinity, -Infinity, 0, -1, -1]
  for (let i = 0; i < rows.length; i++) {
    if (rows.quality[i] !== good) continue
    const value = rows.value[i] as number
    min = Math.min(min, value)
    max = Math.max(max, value)
    sum += value
    if (first === -1) first = i
    last = i
  }
  const times = [rows.at[first] as number, rows.at[last] as number]
  return [count, ...ends, ...times, rows.value[last] as number, min, max, sum]
}

const zoneColumns = (zones: ZoneTimes): [number, number, number, number, number, number] => [
  zones.lowCritical,
  zones.low,
  zones.inside,
  zones.high,
  zones.highCritical,
  zones.unknown,
]
