import type { ConditionRule } from '../../schemas/species.ts'
import { say } from '../words/say.ts'

/** The published rules of body condition, by name. */
export const ruleName: Record<ConditionRule, string> = {
  jackson: say('Jackson ratio'),
  hailey: say('Hailey index'),
  boxVolume: say('Mass by box volume'),
  ellipsoid: say('Mass by ellipsoid'),
  visualFive: say('Body score, 1 to 5'),
  visualNine: say('Body score, 1 to 9'),
}
