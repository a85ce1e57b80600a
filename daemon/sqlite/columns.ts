import type { Columns } from '../../schemas/api.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Blocks, GoodHour } from './blocks.ts'
import type { History } from './history.ts'
import type { HotReadings } from './hot-readings.ts'
import { hourMs, hourOf, startOf } from './hour.ts'
import { countGood, good, noRows, type Rows } from './rows.ts'
import { middleOf } from './thinned-hour.ts'

export interface SeriesColumns {
  readonly resolution: 'readings' | 'columns'
  readonly columns: Columns
}

/**
 * Good readings from `from` (included) to `to` (left out) in at most `count` columns of equal width, each at the
 * middle of its part of the stretch. Columns of an hour or more are whole clock hours, so that the figures of the
 * blocks give them exactly; the hours cut by an end and those with waiting readings are read row by row. A thinned
 * hour is drawn by its figures in the column of `middleOf`.
 */
export function columnsOf(blocks: Blocks, hot: HotReadings, history: History) {
  return (id: number, from: Instant, to: Instant, count: number, gap: Millis): SeriesColumns => {
    if (from >= to || count < 1) return { resolution: 'readings', columns: emptyColumns() }
    const hours = wholeHours(from, to)
    const waiting = hot.hours(id, hours.from, hours.to)
    const isWaiting = new Set(waiting)
    const known = blocks.goodHours(id, hourOf(from), hourOf(to - 1))
    const thinned = known.filter((figures) => isThinned(figures) && holds(from, to, figures))
    const settled = known.filter(
      (figures) =>
        !isThinned(figures) &&
        figures[0] >= hours.from &&
        figures[0] <= hours.to &&
        !isWaiting.has(figures[0]),
    )
    const rowByRow = [
      history.rows(id, from, Math.min(to, startOf(hours.from))),
      ...waiting.map((hour) => history.rows(id, startOf(hour), startOf(hour + 1))),
      hours.from <= hours.to + 1 ? history.rows(id, startOf(hours.to + 1), to) : noRows,
    ]
    const readings =
      settled.reduce((sum, [, count]) => sum + count, 0) +
      rowByRow.reduce((sum, rows) => sum + countGood(rows), 0)
    if (readings <= count && thinned.length === 0)
      return { resolution: 'readings', columns: allReadings(history.rows(id, from, to), gap) }

    if (to - from < count * hourMs) {
      const gathered = gather(from, to, from, (to - from) / count, count)
      for (const figures of thinned) gathered.addHour(figures)
      gathered.addRows(history.rows(id, from, to))
      return { resolution: 'columns', columns: gathered.columns(gap) }
    }
    const gathered = gather(from, to, startOf(hourOf(from)), hoursPerColumn(from, to, count) * hourMs, count)
    for (const figures of thinned) gathered.addHour(figures)
    for (const figures of settled) gathered.addHour(figures)
    for (const rows of rowByRow) gathered.addRows(rows)
    return { resolution: 'columns', columns: gathered.columns(gap) }
  }
}

const isThinned = (figures: GoodHour): boolean => figures[7] === 1

/** Whether the stretch holds the hour's middle; its good readings are all that the figures are of. */
function holds(from: number, to: number, [, , , , , first, last]: GoodHour): boolean {
  const middle = middleOf(first, last)
  return middle >= from && middle < to
}

export const emptyColumns = (): { [Name in keyof Columns]: Columns[Name] } => ({
  at: [],
  low: [],
  mean: [],
  high: [],
})

/** First and last clock hour that lie wholly in the stretch; none when the last is before the first. */
function wholeHours(from: number, to: number): { from: number; to: number } {
  return { from: Math.ceil(from / hourMs), to: Math.floor(to / hourMs) - 1 }
}

/** The fewest whole hours that cover the stretch, counted from the hour of `from`, in no more than `count` columns. */
function hoursPerColumn(from: number, to: number, count: number): number {
  return Math.ceil((hourOf(to - 1) + 1 - hourOf(from)) / count)
}

function allReadings(rows: Rows, gap: number): Columns {
  const columns = emptyColumns()
  let last: number | null = null
  for (let i = 0; i < rows.length; i++) {
    if (rows.quality[i] !== good) continue
    const at = rows.at[i] as number
    if (last !== null && at - last > gap) pushGap(columns, last, at)
    push(columns, at, rows.value[i] as number, rows.value[i] as number, rows.value[i] as number)
    last = at
  }
  return columns
}

/** Collects rows and ready figures into columns of `width` ms from `origin`, at most `count`. */
function gather(from: number, to: number, origin: number, width: number, count: number) {
  const readings = new Float64Array(count)
  const low = new Float64Array(count).fill(Infinity)
  const high = new Float64Array(count).fill(-Infinity)
  const sum = new Float64Array(count)
  const first = new Float64Array(count).fill(Infinity)
  const last = new Float64Array(count).fill(-Infinity)

  function add(i: number, n: number, min: number, max: number, total: number, a: number, b: number): void {
    readings[i] = (readings[i] as number) + n
    low[i] = Math.min(low[i] as number, min)
    high[i] = Math.max(high[i] as number, max)
    sum[i] = (sum[i] as number) + total
    first[i] = Math.min(first[i] as number, a)
    last[i] = Math.max(last[i] as number, b)
  }

  const columnAt = (at: number): number => Math.min(count - 1, Math.floor((at - origin) / width))

  return {
    addHour([, n, min, max, total, a, b]: GoodHour): void {
      add(columnAt(middleOf(a, b)), n, min, max, total, a, b)
    },

    addRows(rows: Rows): void {
      for (let k = 0; k < rows.length; k++) {
        if (rows.quality[k] !== good) continue
        const at = rows.at[k] as number
        const value = rows.value[k] as number
        add(columnAt(at), 1, value, value, value, at, at)
      }
    },

    columns(gap: number): Columns {
      const columns = emptyColumns()
      let before = -1
      for (let i = 0; i < count; i++) {
        const n = readings[i] as number
        if (n === 0) continue
        const start = Math.max(from, origin + i * width)
        const end = Math.min(to, origin + (i + 1) * width)
        const at = Math.floor((start + end) / 2)
        if (before !== -1 && (first[i] as number) - (last[before] as number) > gap)
          pushGap(columns, columns.at.at(-1) as number, at)
        const [min, max] = [low[i] as number, high[i] as number]
        const mean = (sum[i] as number) / n
        push(columns, at, min, Math.min(max, Math.max(min, mean)), max) // a rounded sum must not leave its bounds
        before = i
      }
      return columns
    },
  }
}

function push(
  columns: Columns,
  at: number,
  low: number | null,
  mean: number | null,
  high: number | null,
): void {
  columns.at.push(at)
  columns.low.push(low)
  columns.mean.push(mean)
  columns.high.push(high)
}

/** One null row half-way, where there is room for it between two whole milliseconds. */
function pushGap(columns: Columns, before: number, after: number): void {
  if (after - before >= 2) push(columns, Math.floor((before + after) / 2), null, null, null)
}
