import type { Household } from '../../schemas/household.ts'
import { kindName } from '../words/names.ts'
import { PlaceForm } from './place-form.tsx'
import { ThingList } from './thing-list.tsx'
import { say } from '../../shared/words/say.ts'

/** The places in Set-up: the list, one form at a time. */
export function PlacesPart({ household }: { household: Household }) {
  const nameOf = (id: string): string => household.places.find((place) => place.id === id)?.name ?? id
  return (
    <ThingList
      title={say('Places')}
      kind="places"
      things={household.places}
      about={(place) =>
        [
          kindName[place.kind] +
            (place.parent === null ? '' : say(' in {name}', { name: nameOf(place.parent) })),
          ...(place.ownLimits.length === 0
            ? []
            : [say('{ownLimits} own limits', { ownLimits: place.ownLimits.length })]),
        ].join(', ')
      }
      form={(place, onDone) => <PlaceForm place={place} household={household} onDone={onDone} />}
      addWords={say('Add a place')}
      emptyWords={say('A fridge, a box in it, a cold room: anything that is watched.')}
    />
  )
}
