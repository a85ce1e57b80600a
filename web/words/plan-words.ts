import type { PlanProposal } from '../../schemas/season.ts'
import type { Phase } from '../../schemas/species.ts'

/** What a phase is called where it stands for itself. */
export const phaseName: Record<Phase, string> = {
  feedUp: 'Feed up',
  fast: 'Fast',
  coolDown: 'Cool down',
  hold: 'Hold',
  warmUp: 'Warm up',
  awake: 'Awake',
}

export const markName: Record<PlanProposal['marks'][number]['kind'], string> = {
  faecesTest: 'Faeces tested',
  healthCheck: 'Health check',
  lastMeal: 'Last meal',
  coolStep: 'Cooler',
  firstBath: 'First bath',
  firstMeal: 'First meal',
}
