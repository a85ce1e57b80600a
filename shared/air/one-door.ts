import type { PlaceKind } from '../../schemas/place.ts'

export interface Kin {
  readonly id: string
  readonly kind: PlaceKind
  readonly parent: string | null
}

/**
 * The places that share this one's door, and so its air: the fridge or cold room it is or stands in, and what is inside that.
 * Without a door around it: itself and what is inside it. One opening is written once, under whichever of them saw it.
 */
export function behindOneDoor(id: string, places: readonly Kin[]): ReadonlySet<string> {
  const found = new Set([doorOf(id, places)?.id ?? id])
  // Each round goes one level further in.
  for (let size = 0; size < found.size; ) {
    size = found.size
    for (const place of places)
      if (place.parent !== null && found.has(place.parent) && !hasDoor(place)) found.add(place.id)
  }
  return found
}

/** The fridge or cold room that it is or stands in; null where there is no door. */
export const doorOf = <Place extends Kin>(id: string, places: readonly Place[]): Place | null =>
  outwards(id, places, hasDoor)

/** The room that it stands in; null where none is named, and for a room itself. */
export function roomOf<Place extends Kin>(id: string, places: readonly Place[]): Place | null {
  const room = outwards(id, places, ({ kind }) => kind === 'room')
  return room?.id === id ? null : room
}

/** The first that fits, from the place itself outwards. Bounded, for a ring of parents would never end. */
function outwards<Place extends Kin>(
  id: string,
  places: readonly Place[],
  fits: (place: Place) => boolean,
): Place | null {
  const of = (one: string | null): Place | undefined => places.find((place) => place.id === one)
  let here = of(id)
  for (let steps = 0; here !== undefined && steps <= places.length; steps += 1) {
    if (fits(here)) return here
    here = of(here.parent)
  }
  return null
}

const hasDoor = ({ kind }: Kin): boolean => kind === 'fridge' || kind === 'coldRoom'
