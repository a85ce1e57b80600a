import type { RefObject } from 'preact'
import type { Quantity } from '../../schemas/quantity.ts'
import { nightByKey, type StripNight } from './strip.ts'

/** A season's nights as a list of which one can be pointed at and opened; drawn across or down. */
export interface NightList {
  readonly label: string
  readonly season: string
  readonly quantity: Quantity
  /** Oldest first. */
  readonly nights: readonly StripNight[]
  /** Day of the season that is pointed at, and of the night that is open. */
  readonly active: number
  readonly chosen: number | null
  /** Dates of nights whose alarms still want a hand. */
  readonly calling: ReadonlySet<string>
  readonly ref: RefObject<HTMLDivElement | null>
  readonly onKeyDown: (event: KeyboardEvent) => void
  readonly onPoint: (day: number) => void
  readonly onOpen: (night: StripNight | null) => void
}

/** Arrows move by a night, Page up and down by a week, Home and End to the ends; Enter opens. */
export function keysOf(
  nights: readonly StripNight[],
  active: number,
  isNewestFirst: boolean,
  onPoint: (day: number) => void,
  onOpen: (night: StripNight | null) => void,
): (event: KeyboardEvent) => void {
  return (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return
    if (event.key === 'Enter' || event.key === ' ') {
      event.preventDefault()
      onOpen(nights.find((one) => one.day === active) ?? null)
      return
    }
    const next = nightByKey(nights, active, event.key, isNewestFirst)
    if (next === null) return
    event.preventDefault()
    onPoint(next.day)
  }
}
