import type { TriedPlace } from '../../schemas/what-if.ts'
import { limitNames } from '../judging/limit-names.ts'
import { say } from '../words/say.ts'

/** Why limits cannot be tried; null where they can. They are in order from the coldest to the warmest. */
export function objectionToTried(tried: readonly TriedPlace[]): string | null {
  if (new Set(tried.map(({ place }) => place)).size < tried.length) return say('A place is named twice.')
  for (const { limits } of tried) {
    const names = limits.map(({ quantity, limit }) => `${quantity} ${limit}`)
    if (new Set(names).size < names.length) return say('A limit is named twice.')
    for (const quantity of new Set(limits.map((one) => one.quantity))) {
      const values = limitNames.flatMap(
        (name) => limits.find((one) => one.quantity === quantity && one.limit === name)?.value ?? [],
      )
      if (values.some((value, i) => i > 0 && value < (values[i - 1] ?? -Infinity)))
        return say('The limits must rise from the critical low one to the critical high one.')
      const at = (name: (typeof limitNames)[number]) =>
        limits.find((one) => one.quantity === quantity && one.limit === name)?.value ?? null
      const low = at('low') ?? at('lowCritical')
      const high = at('high') ?? at('highCritical')
      if (low !== null && high !== null && low >= high)
        return say('The low limit must be below the high one.')
    }
  }
  return null
}
