import { days, seconds } from '../../schemas/amounts.ts'

/** One round's figures: ms for a winter by the watch alone, the walk alone and both; µs for a reading in the live path. */
export interface Round {
  readonly watch: number
  readonly walk: number
  readonly both: number
  readonly live: number
}

export const winterDays = 150
export const step = seconds(10)
export const perWinter = Math.floor(days(winterDays) / step)
export const liveReadings = 100_000
