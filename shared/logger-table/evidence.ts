import type { DayOrder } from '../../schemas/import.ts'
import type { Row } from './rows.ts'
import { writtenIn } from './reader.ts'
import { orderIn } from './written-time.ts'
import type { Course } from './zone-clock.ts'

/** What the times of a whole table tell of themselves. */
export interface Evidence {
  readonly dayOrder: 'clear' | DayOrder | 'ambiguous'
  readonly isLocal: boolean
  readonly course: Course
  /** The commonest step between two rows, ms; null where there are fewer than two. */
  readonly every: number | null
}

/** Steps of the head that are counted for the commonest one. */
const stepsCounted = 2000

/** Gathers it, row by row in order. */
export function timeEvidence(firstLine: number, time: readonly number[]) {
  const seen = { dayFirst: 0, monthFirst: 0, open: 0 }
  let local = 0
  let up = 0
  let down = 0
  let before: number | null = null
  const steps = new Map<number, number>()
  let counted = 0

  return {
    row({ line, cells }: Row): void {
      if (line < firstLine) return
      const order = orderIn(cells[time[0] ?? 0] ?? '')
      if (order !== null) seen[order]++
      const written = writtenIn(cells, time, seen.monthFirst > seen.dayFirst ? 'monthFirst' : 'dayFirst')
      if (written === null) return
      if (written.kind === 'wall') local++
      const at = written.kind === 'wall' ? written.wall : written.at
      if (before !== null && at !== before) {
        if (at > before) up++
        else down++
        const step = Math.abs(at - before)
        if (counted++ < stepsCounted) steps.set(step, (steps.get(step) ?? 0) + 1)
      }
      before = at
    },

    found(): Evidence {
      const { dayFirst, monthFirst, open } = seen
      const dayOrder =
        dayFirst + monthFirst > 0
          ? monthFirst > dayFirst
            ? 'monthFirst'
            : 'dayFirst'
          : open > 0
            ? 'ambiguous'
            : 'clear'
      let every: number | null = null
      for (const [step, count] of steps) if (every === null || count > (steps.get(every) ?? 0)) every = step
      return { dayOrder, isLocal: local > 0, course: down > up ? 'descending' : 'ascending', every }
    },
  }
}
