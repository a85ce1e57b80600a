import type { JournalLine, PlaceNow } from '../../schemas/api.ts'
import type { Opening } from '../words/thermal-words.ts'

/** How far back openings of a door are listed, in ms: two weeks show whether it is aired as planned. */
export const openingsSinceMs = 14 * 86_400_000

type Kin = Pick<PlaceNow, 'id' | 'kind' | 'parent'>

/**
 * The places that share this one's door: the fridge or cold room it is or stands in, and what is inside that. One opening is
 * written once, under whichever of them saw it.
 */
export function behindOneDoor(id: string, places: readonly Kin[]): ReadonlySet<string> {
  const of = (one: string | null): Kin | undefined => places.find((place) => place.id === one)
  const hasDoor = ({ kind }: Kin): boolean => kind === 'fridge' || kind === 'coldRoom'
  let home = of(id)
  for (let steps = 0; home !== undefined && !hasDoor(home) && steps < places.length; steps += 1)
    home = of(home.parent)
  const found = new Set([home?.id ?? id])
  // Each round goes one level further in.
  for (let size = 0; size < found.size; ) {
    size = found.size
    for (const place of places)
      if (place.parent !== null && found.has(place.parent) && !hasDoor(place)) found.add(place.id)
  }
  return found
}

/** Openings of the doors of `places` since `since`, newest first, each once. */
export function openingsIn(
  lines: readonly JournalLine[],
  places: ReadonlySet<string>,
  since: number,
): Opening[] {
  const found = lines.filter(
    (line) =>
      line.kind === 'doorOpened' && line.at >= since && line.place !== undefined && places.has(line.place),
  )
  return [...new Map(found.map((line) => [line.id, line])).values()].sort((a, b) => b.at - a.at)
}
