import type { ConditionVerdict, MassNow, MassStanding } from '../../schemas/condition.ts'

export const verdictName: Record<ConditionVerdict, string> = {
  pass: 'well',
  watch: 'look closer',
  vet: 'hold for a vet',
  block: 'must not go down',
  unknown: 'not known',
}

export const massStandingName: Record<MassStanding, string> = {
  well: 'well',
  watch: 'weigh again in two days',
  wake: 'end the hold',
  unknown: 'not known',
}

export const massRuleName: Record<MassNow['rules'][number]['rule'], string> = {
  monthly: 'Loss in 30 days',
  total: 'Loss in all',
  suddenDrop: 'Sudden drop',
  gain: 'Gain',
}
