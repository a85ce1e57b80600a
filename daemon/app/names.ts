import type { Household } from '../../schemas/household.ts'
import type { Names } from '../../shared/telling/alarm-words.ts'

/** Names as the keeper gave them. */
export function namesIn(household: Household): Names {
  return {
    place: (id) => nameIn(household.places, id),
    sensor: (id) => nameIn(household.sensors, id),
    contact: (id) => nameIn(household.contacts, id),
  }
}

/** An id that is gone stands for itself. */
export const nameIn = (list: readonly { readonly id: string; readonly name: string }[], id: string): string =>
  list.find((one) => one.id === id)?.name ?? id
