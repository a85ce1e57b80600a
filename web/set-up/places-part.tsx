import type { Household } from '../../schemas/household.ts'
import { kindName } from '../words/names.ts'
import { PlaceForm } from './place-form.tsx'
import { ThingList } from './thing-list.tsx'

export function PlacesPart({ household }: { household: Household }) {
  const nameOf = (id: string): string => household.places.find((place) => place.id === id)?.name ?? id
  return (
    <ThingList
      title="Places"
      kind="places"
      things={household.places}
      about={(place) =>
        [
          kindName[place.kind] + (place.parent === null ? '' : ` in ${nameOf(place.parent)}`),
          ...(place.ownLimits.length === 0 ? [] : [`${place.ownLimits.length} own limits`]),
        ].join(', ')
      }
      form={(place, onDone) => <PlaceForm place={place} household={household} onDone={onDone} />}
      addWords="Add a place"
      emptyWords="A fridge, a box in it, a cold room: anything that is watched."
    />
  )
}
