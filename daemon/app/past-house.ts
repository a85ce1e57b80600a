import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { startWatch } from '../../shared/judging/watch.ts'
import type { House } from './house.ts'
import { zonesIn } from './zones-in.ts'

/** What whoever looks into the past asks of a house. */
export type PastHouse = Pick<House, 'state' | 'zonesOf' | 'catchUp'>

/** A house that is only looked at: nobody judges in it, and nothing of it is kept. */
export function pastHouse(household: Household, profileOf: ProfileOf, now: Instant): PastHouse {
  const state = startWatch(household, profileOf, now)
  return { state: () => state, zonesOf: zonesIn(() => state.layout), catchUp: () => undefined }
}
