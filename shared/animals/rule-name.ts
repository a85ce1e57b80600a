import type { ConditionRule } from '../../schemas/species.ts'

export const ruleName: Record<ConditionRule, string> = {
  jackson: 'Jackson ratio',
  hailey: 'Hailey index',
  boxVolume: 'Mass by box volume',
  ellipsoid: 'Mass by ellipsoid',
  visualFive: 'Body score, 1 to 5',
  visualNine: 'Body score, 1 to 9',
}
