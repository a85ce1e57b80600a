import type { Winter } from '../../schemas/api.ts'
import { seasonRange } from './season.ts'
import { stripNights, type StripNight } from './strip.ts'

/** One season as it is drawn. */
export interface DrawnSeason {
  readonly winter: Winter
  readonly nights: readonly StripNight[]
}

/** What the seasons that are drawn have in common, so that they lie over each other by date and by value. */
export interface StripFrame {
  readonly firstDay: number
  /** Included. */
  readonly lastDay: number
  /** Hours of the longest night. */
  readonly hours: number
  /** Of the nights, limits included; null where nothing was heard. */
  readonly range: readonly [low: number, high: number] | null
  /** Of the hours: from the strongest tone to the faintest. */
  readonly toned: readonly [low: number, high: number]
}

export const drawnSeason = (winter: Winter, now: number): DrawnSeason => ({
  winter,
  nights: stripNights(winter, now),
})

/** Null where there is no night to draw. */
export function frameOf(seasons: readonly DrawnSeason[]): StripFrame | null {
  const nights = seasons.flatMap((season) => season.nights)
  if (nights.length === 0) return null
  const days = nights.map(({ day }) => day)
  const values = nights.flatMap(({ low, high }) => [...low, ...high]).filter((value) => value !== null)
  return {
    firstDay: least(days),
    lastDay: most(days),
    hours: most(nights.map(({ low, hours }) => Math.max(low.length, hours.length))),
    range: seasonRange(nights.map(({ night }) => night)),
    toned: values.length === 0 ? [0, 1] : [least(values), most(values)],
  }
}

const least = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b))
const most = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b))
