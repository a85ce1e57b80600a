import type { PlanProposal } from '../../schemas/season.ts'
import type { Phase } from '../../schemas/species.ts'
import { say } from '../../shared/words/say.ts'

/** What a phase is called where it stands for itself. */
export const phaseName: Record<Phase, string> = {
  feedUp: say('Feed up'),
  fast: say('Fast'),
  coolDown: say('Cool down'),
  hold: say('Hold'),
  warmUp: say('Warm up'),
  awake: say('Awake'),
}

export const markName: Record<PlanProposal['marks'][number]['kind'], string> = {
  faecesTest: say('Faeces tested'),
  healthCheck: say('Health check'),
  lastMeal: say('Last meal'),
  coolStep: say('Cooler'),
  firstBath: say('First bath'),
  firstMeal: say('First meal'),
}
