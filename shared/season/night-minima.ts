import type { Night } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'

/** The coldest reading of one night. Nights without a reading have none. */
interface NightMinimum {
  readonly date: string
  readonly at: Instant
  readonly min: number
}

/** In order of their dates; at most as many as the nights asked for. */
export type NightMinima = readonly NightMinimum[]

/** Counts one reading in. `nights` ascend and do not overlap; a reading outside of them changes nothing. */
export function addToNights(
  minima: NightMinima,
  nights: readonly Night[],
  at: Instant,
  value: number,
): NightMinima {
  const night = nightAt(nights, at)
  if (night === null) return minima
  const newest = minima.at(-1)
  // The everyday case: the night that runs, and no colder than it was. Readings ascend, so that an equal one is later.
  if (newest !== undefined && newest.date === night.date && value >= newest.min && at >= newest.at)
    return minima
  return mergeNights(minima, [{ date: night.date, at, min: value }])
}

/** The colder of each night; of two as cold, the earlier. */
export function mergeNights(one: NightMinima, other: NightMinima): NightMinima {
  const newest = one.at(-1)
  const only = other[0]
  // The everyday case, a reading of the newest night or of the next one, without going through all of them.
  if (newest !== undefined && only !== undefined && other.length === 1 && only.date >= newest.date) {
    if (only.date > newest.date) return [...one, only]
    return isColder(only, newest) ? [...one.slice(0, -1), only] : one
  }
  const coldest = new Map<string, NightMinimum>()
  for (const minimum of [...one, ...other]) {
    const known = coldest.get(minimum.date)
    if (known === undefined || isColder(minimum, known)) coldest.set(minimum.date, minimum)
  }
  return [...coldest.values()].sort((a, b) => (a.date < b.date ? -1 : 1))
}

/** The night that holds `at`, its end left out; null between nights. */
function nightAt(nights: readonly Night[], at: Instant): Night | null {
  let [low, high] = [0, nights.length]
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((nights[middle]?.from ?? 0) <= at) low = middle + 1
    else high = middle
  }
  const night = nights[low - 1]
  return night !== undefined && at < night.to ? night : null
}

const isColder = (one: NightMinimum, other: NightMinimum): boolean =>
  one.min < other.min || (one.min === other.min && one.at < other.at)
