import type { NightSummary } from '../../schemas/api.ts'

/** Evening date of the latest night that has readings; null when none has. */
export function newestWithReadings(nights: readonly NightSummary[]): string | null {
  const dates = nights.filter((night) => night.readings > 0).map((night) => night.date)
  return dates.length === 0 ? null : dates.reduce((newest, date) => (date > newest ? date : newest))
}

/** Nights by month, newest month and newest night first, from the first that was watched until now. */
export function byMonth(
  nights: readonly NightSummary[],
  now: number,
): { readonly month: string; readonly nights: NightSummary[] }[] {
  const months = new Map<string, NightSummary[]>()
  const first = Math.min(...nights.filter((night) => night.readings > 0).map((night) => night.from))
  const past = nights
    .filter((night) => night.from <= now && night.from >= first)
    .sort((a, b) => b.from - a.from)
  for (const night of past) {
    const month = night.date.slice(0, 7)
    months.set(month, [...(months.get(month) ?? []), night])
  }
  return [...months].map(([month, inside]) => ({ month, nights: inside }))
}

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

/** The night before or after in time that has readings; null at the ends. */
export function neighbour(nights: readonly NightSummary[], date: string, step: -1 | 1): string | null {
  const dates = nights
    .filter((night) => night.readings > 0)
    .map((night) => night.date)
    .sort()
  const at = dates.indexOf(date)
  return at === -1 ? null : (dates[at + step] ?? null)
}
