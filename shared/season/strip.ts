import type { Columns, Night } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Zones } from '../judging/zones.ts'

const hourMs = 3_600_000

/** The letters of a strip, from the calmest to what matters most when an hour holds several. */
const letters = {
  unknown: '.',
  inside: 'i',
  high: 'h',
  low: 'l',
  highCritical: 'H',
  lowCritical: 'L',
} as const
const gravest = Object.values(letters)

/** How finely a strip tells its values: no screen shows a tenth of a degree or a percent finer. */
const steps = 10

/**
 * Nights hour by hour. `columns` are of a clock hour or finer, ascending, with a null row where more than an hour was
 * silent; an hour without a reading and without such a row before it keeps the figures of the hour before. `zoneOf` is
 * asked at ascending instants.
 */
export function stripHours(
  nights: readonly Night[],
  columns: Columns,
  zoneOf: (at: Instant, value: number) => keyof Zones,
): {
  readonly hours: string[]
  readonly low: (number | null)[][]
  readonly high: (number | null)[][]
  readonly gaps: number
} {
  const strip = { hours: [] as string[], low: [] as (number | null)[][], high: [] as (number | null)[][] }
  let next = 0
  let held: Figures | null = null
  for (const night of nights) {
    const count = hoursOf(night)
    const word: string[] = []
    const low: (number | null)[] = []
    const high: (number | null)[] = []
    for (let i = 0; i < count; i += 1) {
      const from = night.from + i * hourMs
      const until = Math.min(from + hourMs, night.to)
      // What lies by day between two nights is passed over, and its last word held
      for (; (columns.at[next] ?? Infinity) < from; next += 1) held = figuresAt(columns, next)
      let here: Figures | null = null
      let isHeard = false
      for (; (columns.at[next] ?? Infinity) < until; next += 1) {
        const found = figuresAt(columns, next)
        held = found
        if (found === null) continue
        here = here === null ? found : joined(here, found)
        isHeard = true
      }
      // Nothing comes after the last reading that would tell a silence from a sensor that speaks seldom
      const shown = isHeard ? here : next < columns.at.length ? heldOver(columns, next, held) : null
      low.push(shown === null ? null : round(shown.low))
      high.push(shown === null ? null : round(shown.high))
      const middle = Math.floor((from + until) / 2) as Instant
      word.push(shown === null ? letters.unknown : letterOf(middle, shown, zoneOf))
    }
    strip.hours.push(word.join(''))
    strip.low.push(low)
    strip.high.push(high)
  }
  const gaps = columns.low.filter((value) => value === null).length
  return { ...strip, gaps }
}

/** 12 for 20:00 to 08:00, 11 or 13 of them in the nights when clocks change. */
const hoursOf = ({ from, to }: Night): number => Math.ceil((to - from) / hourMs)

interface Figures {
  readonly low: number
  readonly high: number
}

function figuresAt({ low, high }: Columns, i: number): Figures | null {
  const [least, most] = [low[i] ?? null, high[i] ?? null]
  return least === null || most === null ? null : { low: least, high: most }
}

const joined = (one: Figures, other: Figures): Figures => ({
  low: Math.min(one.low, other.low),
  high: Math.max(one.high, other.high),
})

/** In a silence the row that is next is its null row, or it was the last. */
const heldOver = (columns: Columns, next: number, held: Figures | null): Figures | null =>
  columns.low[next] === null ? null : held

function letterOf(
  at: Instant,
  { low, high }: Figures,
  zoneOf: (at: Instant, value: number) => keyof Zones,
): string {
  const [one, other] = [letters[zoneOf(at, low)], letters[zoneOf(at, high)]]
  return gravest.indexOf(one) > gravest.indexOf(other) ? one : other
}

const round = (value: number): number => Math.round(value * steps) / steps
