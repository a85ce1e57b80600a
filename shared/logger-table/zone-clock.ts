import { instant } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { localParts } from '../time/wall.ts'

export type Course = 'ascending' | 'descending'

/** The instants at which clocks showed a wall time, earliest first: none in spring's gap, two in autumn's doubled hour. */
export type InstantsOf = (wall: number) => readonly number[]

const dayMs = 86_400_000
/** Days remembered (X3): those of one winter, and as many again. */
const daysKept = 800

/** Wall times (read as if they were UTC) of one zone. Remembers each day's offsets: asking for one takes microseconds. */
export function zoneClock(timeZone: string): InstantsOf {
  const offsets = new Map<number, number | readonly [before: number, after: number]>()

  function offsetsOf(day: number): number | readonly [number, number] {
    const known = offsets.get(day)
    if (known !== undefined) return known
    if (offsets.size >= daysKept) offsets.clear()
    // Offsets reach from −12 to +14 h, so every instant of the day lies within a day of it taken as UTC.
    const before = offsetAt((day - 1) * dayMs, timeZone)
    const after = offsetAt((day + 2) * dayMs, timeZone)
    const made = before === after ? before : ([before, after] as const)
    offsets.set(day, made)
    return made
  }

  return (wall) => {
    const known = offsetsOf(Math.floor(wall / dayMs))
    if (typeof known === 'number') return [wall - known]
    const some = [wall - Math.max(...known), wall - Math.min(...known)]
    return some.filter((at) => at + offsetAt(at, timeZone) === wall)
  }
}

/**
 * Which of the instants a row means: of the two of the doubled hour, the first that goes on from the row before, so that
 * the order of the rows decides; where rows stand further apart than the two, the one that is a number of whole steps away.
 * `before` is null for the first row; `every` is the usual step between rows, ms, null where none is known.
 */
export function chosen(
  some: readonly number[],
  before: number | null,
  course: Course,
  every: number | null,
): Instant | null {
  const [earliest, latest] = [some[0], some.at(-1)]
  if (earliest === undefined || latest === undefined) return null
  if (earliest === latest) return instant(earliest)
  const inOrder = course === 'ascending' ? some : some.toReversed()
  if (before === null) return instant(inOrder[0] as number)
  const further = inOrder.filter((at) => (course === 'ascending' ? at > before : at < before))
  const next =
    every === null || every <= latest - earliest
      ? further[0]
      : further.toSorted((one, other) => offStep(one - before, every) - offStep(other - before, every))[0]
  return instant(next ?? (inOrder.at(-1) as number))
}

/** How far a time is from the nearest whole number of steps. */
function offStep(away: number, step: number): number {
  const rest = Math.abs(away) % step
  return Math.min(rest, step - rest)
}

/** What clocks in the zone are ahead of UTC, in ms. */
function offsetAt(at: number, timeZone: string): number {
  const { year, month, day, hour, minute, second } = localParts(instant(at), timeZone)
  return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(at / 1000) * 1000
}
