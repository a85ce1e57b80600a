import type { PlanWish } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'

/**
 * What is wished before anybody has wished: a hold that begins in the middle of the first cold month. November/December
 * is when UK vets let the lamps go (BVA/BSAVA/BVZS 2016); the middle of it, and the south's half a year on, are derived.
 */
export function firstWish(today: string, hemisphere: Household['hemisphere']): PlanWish {
  const day = hemisphere === 'north' ? '11-20' : '05-20'
  const year = Number(today.slice(0, 4))
  const thisYear = `${year}-${day}`
  return { by: 'hold', on: thisYear >= today ? thisYear : `${year + 1}-${day}` }
}
