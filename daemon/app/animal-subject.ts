import type { Animal } from '../../schemas/animal.ts'
import type { AnimalId } from '../../schemas/ids.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { type ProfileOf, profilesIn } from '../../shared/judging/layout.ts'
import type { Clock } from '../ports/clock.ts'
import type { DiaryStore } from '../ports/season.ts'
import type { House } from './house.ts'

export interface SubjectWorld {
  readonly house: Pick<House, 'state'>
  readonly diary: Pick<DiaryStore, 'entries'>
  readonly clock: Clock
  readonly catalogue: ProfileOf
}

/** One animal with all that is known of it now; null where its species is not known. */
export function subjectOf({ house, diary, clock, catalogue }: SubjectWorld, animal: Animal): Subject | null {
  const { household } = house.state().layout
  const profile = profilesIn(household, catalogue)(animal.species)
  if (profile === undefined) return null
  return {
    animal,
    profile,
    guidance: household.guidance,
    history: diary.entries({ animal: animal.id }).toReversed(),
    now: clock.now(),
    timeZone: household.timeZone,
  }
}

export const animalIn = ({ house }: Pick<SubjectWorld, 'house'>, id: AnimalId): Animal | undefined =>
  house.state().layout.household.animals.find((animal) => animal.id === id)
