import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { DiaryKind } from '../../schemas/diary.ts'
import type { GateCheck, GateItem, ReminderKind, WakingStep } from '../../schemas/season.ts'
import type { Phase, Taxon } from '../../schemas/species.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { instant } from '../../schemas/amounts.ts'
import { say } from '../../shared/words/say.ts'

export const gateName: Record<GateCheck, string> = {
  profile: say('Species'),
  age: say('Age'),
  mass: say('Mass'),
  kept: say('Time with you'),
  weighed: 'Weigh-in',
  condition: say('Condition'),
  health: say('Health check'),
  gut: say('Empty gut'),
  place: say('Watched place'),
  alarm: say('Tested alarm'),
  cap: say('Length of the hold'),
}

export const gateStandingName: Record<GateItem['standing'], string> = {
  met: say('met'),
  missing: say('missing'),
  against: say('speaks against it'),
}

/** What is noted so that a check of the gate is met; null where no entry meets it. */
export const notingForGate: Record<GateCheck, DiaryKind | null> = {
  profile: null,
  age: null,
  mass: 'weighed',
  kept: null,
  weighed: 'weighed',
  condition: 'measured',
  health: 'checked',
  gut: 'fed',
  place: null,
  alarm: null,
  cap: null,
}

export const wakingStepName: Record<WakingStep['step'], string> = {
  warm: say('Warm'),
  drink: say('Drinks'),
  urates: say('Passes urates'),
  eat: say('Eats'),
  normal: say('All as usual'),
}

export const notingForWaking: Record<WakingStep['step'], DiaryKind | null> = {
  warm: null,
  drink: 'drank',
  urates: 'passed',
  eat: 'fed',
  normal: null,
}

/** What is noted when a reminder was followed; null where it is done elsewhere. */
export const notingForReminder: Record<ReminderKind, DiaryKind | null> = {
  weigh: 'weighed',
  measure: 'measured',
  look: 'looked',
  air: null,
  bathe: 'bathed',
  faecesTest: 'checked',
  healthCheck: 'checked',
  lastMeal: 'fed',
  beginCooling: null,
  hold: null,
  beginWarming: null,
  wakeNow: null,
  drink: 'drank',
  urates: 'passed',
  firstMeal: 'fed',
  vet: 'vet',
  order: null,
  count: null,
}

/** Phases in which an animal is down. */
export const isDown = (phase: Phase): boolean => phase === 'coolDown' || phase === 'hold'

export interface PhaseWords {
  readonly phase: Phase
  readonly from: number | null
  readonly next: PlanStep | null
  /** Whether what comes next is only in preparation. */
  readonly isDraft: boolean
}

/** The phase now and what comes next: by the plan in force, else by the winter in preparation. */
export function phaseOf(animal: Animal, now: number): PhaseWords {
  const { phase, from } = phaseAt(animal, instant(now))
  const planned = animal.plan.find((step) => step.from > now)
  const drafted = animal.draft.find((step) => step.from > now)
  return { phase, from, next: planned ?? drafted ?? null, isDraft: planned === undefined }
}

/** As a verb: `cools down from …`. */
export const phaseBegins: Record<Phase, string> = {
  feedUp: say('feeds up'),
  fast: say('fasts'),
  coolDown: say('cools down'),
  hold: say('is in hold'),
  warmUp: say('warms up'),
  awake: say('is awake'),
}

export const sexName = { female: say('female'), male: say('male') } as const
export const ageClassName = {
  hatchling: say('hatchling'),
  juvenile: say('juvenile'),
  adult: say('adult'),
} as const

/** What is measured of an animal, by how it is built. */
export const lengthName: Record<Taxon, string> = {
  tortoise: say('Straight carapace length'),
  turtle: say('Straight carapace length'),
  snake: say('Whole length'),
  lizard: say('Snout to vent'),
  frog: say('Snout to vent'),
  salamander: say('Snout to vent'),
}

export const hasShell = (taxon: Taxon): boolean => taxon === 'tortoise' || taxon === 'turtle'
