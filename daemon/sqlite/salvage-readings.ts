import type { Database } from 'better-sqlite3'
import { z } from 'zod'
import { decodeBlock } from './block-codec.ts'
import { blocksOf, fromKey, keyOf } from './blocks.ts'
import { hourMs } from './hour.ts'
import type { Rows } from './rows.ts'
import { eachRow, isSound, type TableRead } from './salvage-table.ts'

/** Rows of a table of blocks that are looked at: a hundred sensors for twenty years; a damaged tree may lead in rings. */
const mostBlocks = 20_000_000

/**
 * Takes over the blocks that `to` lacks, then what waits for the fold. The last state of the watch comes with
 * all that waited or not at all: it has seen what waited, and would not look at it again.
 */
export function salvageReadings(
  from: Database,
  to: Database,
  series: TableRead | null,
  hot: TableRead | null,
  snapshot: TableRead | null,
): { readonly watch: boolean; readonly hours: number } {
  if (series === null) return { watch: false, hours: 0 }
  const take = to.transaction(() => {
    const idOf = joinSeries(to, series)
    const hours = takeBlocks(from, to, idOf)
    takeWaiting(to, idOf, hot)
    const watch = series.isWhole && hot?.isWhole === true && snapshot?.isWhole === true
    return { watch: watch && takeSnapshot(to, snapshot), hours }
  })
  return take.immediate()
}

/** Damaged numbers of series to those in `to`, which learns the ones that it does not know. */
function joinSeries(to: Database, series: TableRead): ReadonlyMap<number, number> {
  const known = to
    .prepare<unknown[], number>('SELECT id FROM series WHERE sensor = ? AND quantity = ?')
    .pluck()
  const insert = to.prepare('INSERT INTO series (id, sensor, quantity) VALUES (?, ?, ?)')
  const isTaken = to.prepare<unknown[]>('SELECT 1 FROM series WHERE id = ?')
  const next = to.prepare<[], number>('SELECT coalesce(max(id), 0) + 1 FROM series').pluck()
  const idOf = new Map<number, number>()
  for (const { id, sensor, quantity } of series.rows) {
    let joined = known.get(sensor, quantity)
    if (joined === undefined) {
      joined = isTaken.get(id) === undefined ? Number(id) : (next.get() ?? 1)
      insert.run(joined, sensor, quantity)
    }
    idOf.set(Number(id), joined)
  }
  return idOf
}

const Figure = z.number().nullable()
const Ms = z.number().min(0).max(hourMs)
const BlockRow = z.strictObject({
  series: z.int(),
  hour: z.int(),
  n: z.int(),
  good: z.int().min(0),
  first: z.int(),
  last: z.int(),
  good_first: z.int().nullable(),
  good_last: z.int().nullable(),
  last_value: Figure,
  min: Figure,
  max: Figure,
  sum: z.number(),
  low_critical_ms: Ms,
  low_ms: Ms,
  inside_ms: Ms,
  high_ms: Ms,
  high_critical_ms: Ms,
  unknown_ms: Ms,
})
type BlockRow = z.infer<typeof BlockRow>

function takeBlocks(from: Database, to: Database, idOf: ReadonlyMap<number, number>): number {
  const blocks = blocksOf(to)
  const countIn = to
    .prepare<[number, number], number>('SELECT n FROM block WHERE series = ? AND hour = ?')
    .pluck()
  const insert = to.prepare(
    `INSERT OR REPLACE INTO block VALUES (@series, @hour, @n, @good, @first, @last, @good_first, @good_last,
      @last_value, @min, @max, @sum, @low_critical_ms, @low_ms, @inside_ms, @high_ms, @high_critical_ms, @unknown_ms)`,
  )
  const data = from.prepare<[number], Buffer>('SELECT data FROM block_data WHERE key = ?').pluck()
  const rowsIn = (key: number): Rows | null => {
    try {
      const packed = data.get(key)
      return packed === undefined ? null : decodeBlock(packed)
    } catch {
      return null
    }
  }
  let hours = 0
  let looked = 0

  function takeBlock(row: BlockRow): void {
    const id = idOf.get(row.series)
    if (id === undefined || !isBelievable(row.hour)) return
    const there = countIn.get(id, row.hour)
    if (there !== undefined && Math.abs(there) >= Math.abs(row.n)) return
    if (!BlockRow.safeParse(row).success) return
    const rows = row.n > 0 ? rowsIn(keyOf(row.series, row.hour)) : null
    // figures without their readings are what thinning leaves; more of an hour that is there is better than those
    if (rows === null && there !== undefined) return
    if (rows === null) insert.run({ ...row, series: id, n: -Math.abs(row.n) })
    else
      blocks.save(id, row.hour, rows, {
        lowCritical: row.low_critical_ms,
        low: row.low_ms,
        inside: row.inside_ms,
        high: row.high_ms,
        highCritical: row.high_critical_ms,
        unknown: row.unknown_ms,
      })
    hours++
  }

  /** Readings whose figures were lost: it is no longer known what they meant. */
  function takeData(key: number): void {
    const { id: damagedId, hour } = fromKey(key)
    const id = idOf.get(damagedId)
    if (id === undefined || !isBelievable(hour) || countIn.get(id, hour) !== undefined) return
    const rows = rowsIn(key)
    if (rows === null || rows.length === 0) return
    blocks.save(id, hour, rows, { ...noZones, unknown: hourMs })
    hours++
  }

  const each = (forward: string, backward: string, use: (row: unknown) => void): void => {
    looked = 0
    const take = (row: unknown): boolean => {
      use(row)
      return ++looked < mostBlocks
    }
    if (!eachRow(from, forward, [], take)) eachRow(from, backward, [], take)
  }
  each(
    'SELECT * FROM block ORDER BY series, hour',
    'SELECT * FROM block ORDER BY series DESC, hour DESC',
    (row) => takeBlock(row as BlockRow),
  )
  if (!isSound(from, 'block'))
    each('SELECT key FROM block_data ORDER BY key', 'SELECT key FROM block_data ORDER BY key DESC', (row) =>
      takeData((row as { key: number }).key),
    )
  return hours
}

const noZones = { lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: 0 }

/** Hours from 2000 to 2200: a number that has changed may be any. */
const isBelievable = (hour: number): boolean =>
  hour * hourMs >= Date.UTC(2000) && hour * hourMs < Date.UTC(2200)

/** The backup's readings that waited stay: what was folded since is perhaps in no block. */
function takeWaiting(to: Database, idOf: ReadonlyMap<number, number>, hot: TableRead | null): void {
  const insert = to.prepare(
    'INSERT OR REPLACE INTO hot (seq, series, at, value, quality) VALUES (?, ?, ?, ?, ?)',
  )
  for (const { seq, series, at, value, quality } of hot?.rows ?? []) {
    const id = idOf.get(Number(series))
    if (id !== undefined) insert.run(seq, id, at, value, quality)
  }
}

function takeSnapshot(to: Database, { rows: [row] }: TableRead): boolean {
  if (row === undefined) return false
  to.prepare('INSERT OR REPLACE INTO snapshot (id, text, seq) VALUES (1, ?, ?)').run(row['text'], row['seq'])
  return true
}
