import type { Fault } from './faults.ts'
import type { Marks } from './marks.ts'

/** The strip between the curve and its hours: a row for the compressor's runs, rows for what stood. In CSS px. */
export interface Foot {
  readonly height: number
  /** Top of the row of runs; null where none is drawn. */
  readonly runs: number | null
  readonly rows: readonly { readonly top: number; readonly fault: Fault }[]
}

export const runHeight = 3
export const faultHeight = 6
/** Between two rows, and above the first. */
const space = 3
/** Alarms at one time that stand in rows of their own; what is more shares the last, and is listed below the curve. */
const mostRows = 4

/** Lays them out: an alarm goes into the first row that is free by then. */
export function footOf({ runs, faults }: Pick<Marks, 'runs' | 'faults'>): Foot {
  const first = runs.length === 0 ? 0 : space + runHeight
  const freeFrom: number[] = []
  const rows = [...faults]
    .sort((a, b) => (a.from ?? 0) - (b.from ?? 0))
    .map((fault) => {
      const free = freeFrom.findIndex((until) => until <= (fault.from ?? 0))
      const row = free >= 0 ? free : Math.min(freeFrom.length, mostRows - 1)
      freeFrom[row] = Math.max(freeFrom[row] ?? 0, fault.to ?? Infinity)
      return { fault, top: first + space + row * (faultHeight + space) }
    })
  const height = first + freeFrom.length * (faultHeight + space)
  return { height: height === 0 ? 0 : height + space, runs: runs.length === 0 ? null : space, rows }
}

/** Runs whose usual distance is shorter than this, in CSS px, would be a grey bar: none is drawn. */
const leastPeriod = 6

/** Whether single runs can be told apart at this many px for each ms. */
export function areRunsReadable(runs: Marks['runs'], perMs: number): boolean {
  const [first, last] = [runs[0], runs.at(-1)]
  if (first === undefined || last === undefined) return false
  return runs.length < 2 || ((last.from - first.from) / (runs.length - 1)) * perMs >= leastPeriod
}
