import type { Animal } from '../../schemas/animal.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Place } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { behindOneDoor, doorOf } from '../../shared/air/one-door.ts'
import type { ReminderFacts } from '../../shared/animals/reminders.ts'
import type { Store } from '../ports/store.ts'
import type { DiaryStore } from '../ports/season.ts'

type Visits = Required<Pick<ReminderFacts, 'airedAt' | 'lookedAt' | 'airPlace'>>

/** When an animal's place was last opened and looked at, by contact, curve or diary (S4). */
export function visitsOf(
  { store, diary }: { readonly store: Pick<Store, 'journal'>; readonly diary: Pick<DiaryStore, 'entries'> },
  places: readonly Place[],
): (animal: Animal) => Visits {
  /** Boxes of one fridge ask for the same. */
  const aired = new Map<PlaceId, Instant | null>()

  const airedIn = (place: PlaceId): Instant | null => {
    const known = aired.get(place)
    if (known !== undefined) return known
    const inside = [...behindOneDoor(place, places)] as PlaceId[]
    const seen = store.journal({ places: inside, kinds: ['doorOpened'], limit: 1 })[0]?.at
    const noted = inside.flatMap((one) => diary.entries({ place: one, kinds: ['aired'], limit: 1 }))
    const at = newest([...(seen === undefined ? [] : [seen]), ...noted.map((line) => line.at)])
    aired.set(place, at)
    return at
  }

  return (animal) => {
    if (animal.place === null) return { airedAt: null, lookedAt: null, airPlace: null }
    const door = doorOf(animal.place, places)
    const around = outwards(animal.place, places)
    return {
      airedAt: door === null ? null : airedIn(door.id),
      lookedAt: newest(
        around.flatMap((one) =>
          diary.entries({ place: one, kinds: ['looked'], limit: 1 }).map((line) => line.at),
        ),
      ),
      airPlace: door === null ? null : { id: door.id, name: door.name },
    }
  }
}

/** Itself and what it stands in. Bounded, for a ring of parents would never end. */
export function outwards(id: PlaceId, places: readonly Place[]): readonly PlaceId[] {
  const found: PlaceId[] = []
  let here: PlaceId | null = id
  while (here !== null && !found.includes(here)) {
    found.push(here)
    const now: PlaceId = here
    here = places.find((place) => place.id === now)?.parent ?? null
  }
  return found
}

const newest = (times: readonly Instant[]): Instant | null =>
  times.length === 0 ? null : (Math.max(...times) as Instant)
