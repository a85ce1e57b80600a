import type { SensorId } from '../../schemas/ids.ts'
import type { TableQuantity } from '../../schemas/import.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ImportedHour } from '../ports/imports.ts'

/** Whose readings a column holds. */
export interface Series {
  readonly sensor: SensorId
  readonly quantity: TableQuantity
}

interface Column {
  at: number[]
  value: number[]
  quality: number[]
}

/** Readings gathered before hours are made of them: nearly three days of two channels at a minute; sorted in some milliseconds (X3). */
const mostGathered = 8192

const hourMs = 3_600_000

/** Gathers the values of a table's columns, and makes whole clock hours of them. */
export function gatherHours(series: readonly Series[]) {
  const columns: Column[] = series.map(() => ({ at: [], value: [], quality: [] }))
  let gathered = 0
  let repeats = 0

  return {
    add(column: number, at: Instant, value: number, quality: number): void {
      const into = columns[column] as Column
      into.at.push(at)
      into.value.push(value)
      into.quality.push(quality)
      gathered++
    },

    isFull: () => gathered >= mostGathered,

    /** Readings of a time that the table had before, as far as hours were taken out. */
    repeats: () => repeats,

    /** Takes out every hour but the one that holds `but`, of which more may come; all with null. */
    take(but: Instant | null): ImportedHour[] {
      const kept = but === null ? -1 : Math.floor(but / hourMs)
      gathered = 0
      return columns.flatMap((column, c) => {
        const hours = new Map<number, Column>()
        for (const [i, at] of column.at.entries()) {
          const hour = Math.floor(at / hourMs)
          let into = hours.get(hour)
          if (into === undefined) hours.set(hour, (into = { at: [], value: [], quality: [] }))
          into.at.push(at)
          into.value.push(column.value[i] as number)
          into.quality.push(column.quality[i] as number)
        }
        columns[c] = hours.get(kept) ?? { at: [], value: [], quality: [] }
        gathered += columns[c].at.length
        hours.delete(kept)
        return [...hours]
          .sort(([a], [b]) => a - b)
          .map(([, hour]): ImportedHour => {
            const ordered = inOrder(hour)
            repeats += hour.at.length - ordered.at.length
            return { ...(series[c] as Series), ...ordered }
          })
      })
    },
  }
}

/** Ascending; of rows with one time the first stands. */
function inOrder(hour: Column): Column {
  const order = hour.at
    .map((_, i) => i)
    .sort((a, b) => (hour.at[a] as number) - (hour.at[b] as number) || a - b)
  const fresh = order.filter((i, k) => k === 0 || hour.at[i] !== hour.at[order[k - 1] as number])
  return {
    at: fresh.map((i) => hour.at[i] as number),
    value: fresh.map((i) => hour.value[i] as number),
    quality: fresh.map((i) => hour.quality[i] as number),
  }
}
