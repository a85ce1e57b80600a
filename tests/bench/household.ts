import { Household } from '../../schemas/household.ts'
import { tortoiseBoxes } from '../support/tortoise-boxes.ts'

/** Twenty boxes of tortoises in hold, a probe in each: every reading is judged against a species' band. */
export const benchHousehold = (): Household =>
  Household.parse({ version: 1, name: 'Bench', timeZone: 'Europe/Vienna', ...tortoiseBoxes(20) })
