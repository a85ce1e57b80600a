import type { NightCurve } from '../../schemas/api.ts'
import type { Opening } from '../words/thermal-words.ts'
import type { AnimalLine } from './animal-side.ts'

/** What uPlot draws: seconds on x, one line per sensor; `undefined` where a sensor has no row, `null` at its gaps. */
export interface ChartData {
  readonly x: number[]
  /** Of the sensors, then of the animals' sides. */
  readonly lines: (number | null | undefined)[][]
}

/**
 * Joins the sensors' columns, and the animals' lines at the instants of their air, on one ascending, unique x. Never fewer
 * than two x (uPlot needs them).
 */
export function chartData(curve: NightCurve, animals: readonly AnimalLine[] = []): ChartData {
  const [only] = curve.series
  // one sensor alone is in order already: nothing is to be joined
  if (only !== undefined && curve.series.length + animals.length === 1 && only.columns.at.length > 1)
    return { x: only.columns.at.map((instant) => instant / 1000), lines: [[...only.columns.mean]] }
  const all = new Set<number>(curve.series.flatMap((one) => one.columns.at))
  if (all.size < 2) all.add(curve.night.from).add(curve.night.to)
  const at = [...all].sort((a, b) => a - b)
  const drawn = [
    ...curve.series.map(({ columns }) => ({ at: columns.at, values: columns.mean })),
    ...animals.map((line) => ({ at: line.at, values: line.celsius })),
  ]
  const lines = drawn.map((line) => {
    const rows = new Map(line.at.map((instant, i) => [instant, line.values[i] ?? null]))
    return at.map((instant) => rows.get(instant))
  })
  return { x: at.map((instant) => instant / 1000), lines }
}

/** Smallest stretch shown, in the quantity's unit: so that a steady fridge does not look wild. */
const leastSpan = 2

/** Lowest and highest value to show: everything believed, the limits in force, the animals and the nights before. */
export function valueRange(
  curve: NightCurve,
  animals: readonly AnimalLine[] = [],
): [low: number, high: number] {
  const values = [
    ...animals.flatMap(({ celsius }) => celsius),
    ...curve.series.flatMap(({ columns }) => [...columns.low, ...columns.high]),
    ...[curve.band.lowCritical, curve.band.low, curve.band.high, curve.band.highCritical].flat(),
    ...curve.before.flatMap((night) => night.mean),
  ]
  let low = Infinity
  let high = -Infinity
  for (const value of values) {
    if (value === null) continue
    low = Math.min(low, value)
    high = Math.max(high, value)
  }
  if (low > high) return [0, leastSpan]
  const spare = Math.max((high - low) * 0.06, (leastSpan - (high - low)) / 2)
  return [low - spare, high + spare]
}

export interface Limits {
  readonly lowCritical: number | null
  readonly low: number | null
  readonly high: number | null
  readonly highCritical: number | null
}

/** The limits in force at an instant; each row of the band holds until the next. */
export function limitsAt(curve: NightCurve, at: number): Limits {
  const { band } = curve
  let row = -1
  while (row + 1 < band.at.length && (band.at[row + 1] ?? Infinity) <= at) row += 1
  row = Math.max(row, 0)
  return {
    lowCritical: band.lowCritical[row] ?? null,
    low: band.low[row] ?? null,
    high: band.high[row] ?? null,
    highCritical: band.highCritical[row] ?? null,
  }
}

/** Lowest, mean and highest of what was believed so far, over all sensors; null when nothing was. */
export function summaryOf(curve: NightCurve): { low: number; mean: number; high: number } | null {
  let low = Infinity
  let high = -Infinity
  let sum = 0
  let count = 0
  for (const { columns } of curve.series) {
    columns.mean.forEach((mean, i) => {
      if (mean === null) return
      low = Math.min(low, columns.low[i] ?? mean)
      high = Math.max(high, columns.high[i] ?? mean)
      sum += mean
      count += 1
    })
  }
  return count === 0 ? null : { low, mean: sum / count, high }
}

/** Openings of the door that fall into the night, oldest first. */
export const openedIn = (night: NightCurve['night'], openings: readonly Opening[]): readonly Opening[] =>
  openings.filter(({ at, until = at }) => until >= night.from && at < night.to).sort((a, b) => a.at - b.at)

export interface TableRow {
  readonly at: number
  /** One per sensor, in their order, then one for each animals' line; null where nothing was believed in this stretch. */
  readonly cells: readonly ({ low: number; mean: number; high: number } | null)[]
}

/** The curve as a table, the animals' sides after the sensors: one row per `step` ms of the night, up to the last value. */
export function tableRows(curve: NightCurve, step: number, animals: readonly AnimalLine[] = []): TableRow[] {
  const { from, to } = curve.night
  const last = Math.max(...curve.series.map(({ columns }) => columns.at[columns.at.length - 1] ?? -1), -1)
  const count = Math.ceil((Math.min(to, last + 1) - from) / step)
  if (count <= 0) return []
  const told = [
    ...curve.series.map(({ columns }) => columns),
    ...animals.map(({ at, celsius }) => ({ at, low: celsius, mean: celsius, high: celsius })),
  ]
  const cells = told.map((columns) => {
    const rows = Array.from({ length: count }, () => ({ low: Infinity, high: -Infinity, sum: 0, count: 0 }))
    columns.at.forEach((at, i) => {
      const mean = columns.mean[i] ?? null
      const row = rows[Math.floor((at - from) / step)]
      if (mean === null || row === undefined) return
      row.low = Math.min(row.low, columns.low[i] ?? mean)
      row.high = Math.max(row.high, columns.high[i] ?? mean)
      row.sum += mean
      row.count += 1
    })
    return rows.map((row) =>
      row.count === 0 ? null : { low: row.low, mean: row.sum / row.count, high: row.high },
    )
  })
  return Array.from({ length: count }, (_, i) => ({
    at: from + i * step,
    cells: cells.map((rows) => rows[i] ?? null),
  }))
}
