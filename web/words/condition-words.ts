import type { ConditionVerdict, MassNow, MassStanding } from '../../schemas/condition.ts'
import { say } from '../../shared/words/say.ts'

/** How an animal’s condition is judged, in words. */
export const verdictName: Record<ConditionVerdict, string> = {
  pass: say('well'),
  watch: say('look closer'),
  vet: say('hold for a vet'),
  block: say('must not go down'),
  unknown: say('not known'),
}

export const massStandingName: Record<MassStanding, string> = {
  well: say('well'),
  watch: say('weigh again in two days'),
  wake: say('end the hold'),
  unknown: say('not known'),
}

export const massRuleName: Record<MassNow['rules'][number]['rule'], string> = {
  monthly: say('Loss in 30 days'),
  total: say('Loss in all'),
  suddenDrop: say('Sudden drop'),
  gain: say('Gain'),
}
