import type { NightSummary } from '../../schemas/api.ts'

/** Lowest and highest value of the season, limits included, with a little air; null when there are none. */
export function seasonRange(nights: readonly NightSummary[]): readonly [low: number, high: number] | null {
  const values = nights
    .flatMap((night) => [night.min, night.max, ...(night.readings > 0 ? [night.low, night.high] : [])])
    .filter((value) => value !== null)
  if (values.length === 0) return null
  const low = values.reduce((a, b) => Math.min(a, b))
  const high = values.reduce((a, b) => Math.max(a, b))
  const air = Math.max((high - low) * 0.05, 0.5)
  return [low - air, high + air]
}
