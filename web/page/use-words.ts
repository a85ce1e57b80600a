import type { Names } from '../../shared/telling/alarm-words.ts'
import { namesOf, zoneOf } from '../words/alarm-words.ts'
import { usePage } from './use-page.ts'

/** Names and local times by what the page knows now. */
export function useWords(): {
  readonly names: Names
  /** `02:14`, or with its date when it is more than a day off, on the clock of a place. */
  when(at: number, place: string | null): string
} {
  const { tonight, household, now, tell } = usePage()
  return {
    names: namesOf(tonight.value, household.value),
    when: (at, place) => tell.when(at, now.value, zoneOf(place, tonight.value, household.value)),
  }
}
