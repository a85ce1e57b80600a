import type { PlaceNow } from '../../schemas/api.ts'
import type { AnimalId } from '../../schemas/ids.ts'
import type { Household } from '../../schemas/household.ts'
import { behindOneDoor } from '../../shared/air/one-door.ts'
import type { InnerAir } from '../../shared/season/airing.ts'

/**
 * Who breathes which air: a box with litres of its own is reckoned by itself, else everybody behind the door shares the air of
 * the fridge. `gramsOf`: at its last weigh-in; null where it was never weighed. Null until the household is known.
 */
export function innerAir(
  place: PlaceNow,
  home: PlaceNow,
  places: readonly PlaceNow[],
  household: Pick<Household, 'places'> | null,
  gramsOf: (animal: AnimalId) => number | null,
): { readonly name: string; readonly air: InnerAir } | null {
  if (household === null) return null
  const litresOf = (id: string): number | null =>
    household.places.find((one) => one.id === id)?.litres ?? null
  const own = litresOf(place.id)
  const shared = own === null ? behindOneDoor(place.id, places) : new Set<string>([place.id])
  const source = own === null ? home : place
  const breathers = places
    .filter(({ id }) => shared.has(id))
    .flatMap(({ animals }) => animals.map(({ id, name }) => ({ name, kilograms: inKilograms(gramsOf(id)) })))
  const warm = source.values.find(
    ({ quantity, fresh, quality }) => quantity === 'temperature' && fresh && quality === 'good',
  )
  const air = { litres: own ?? litresOf(home.id), celsius: warm?.value ?? null, breathers }
  return { name: source.name, air }
}

const inKilograms = (grams: number | null): number | null => (grams === null ? null : grams / 1000)
