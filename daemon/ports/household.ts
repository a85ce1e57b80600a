import type { Animal } from '../../schemas/animal.ts'
import type { Connection, House, Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { AnimalId, PlaceId } from '../../schemas/ids.ts'
import type { Place } from '../../schemas/place.ts'
import type { Source } from '../../schemas/source.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { Outcome } from './outcome.ts'

export type EditRefusal =
  | 'inUse'
  | 'noSuchParent'
  | 'noSuchPlace'
  | 'noSuchSpecies'
  | 'bandsConflict'
  | 'loop'
  | 'tooMany'
  | 'mustNotGoDown'
  | 'noSuchContact'
  | 'noSuchChannel'
  | 'noSuchPerson'
  | 'badChannel'
  | 'notReady'
  | 'badPlan'
  | 'notStored'

/** The household: shown, and changed by keepers. `by` is the person’s name, in the journal. */
export interface HouseholdDesk {
  tonight(): Tonight
  household(): Household
  species(): readonly SpeciesProfile[]
  connection(): Connection
  sources(): readonly Source[]

  saveHouse(house: House, by: string): Outcome<House, EditRefusal>
  savePlace(place: Place, by: string): Outcome<Place, EditRefusal>
  removePlace(place: PlaceId, by: string): Outcome<null, EditRefusal>
  /** `anyway`: the reason for sending an animal down though the gate is shut (S1); kept in journal and diary. */
  saveAnimal(animal: Animal, by: string, anyway?: string): Outcome<Animal, EditRefusal>
  removeAnimal(animal: AnimalId, by: string): Outcome<null, EditRefusal>
}
