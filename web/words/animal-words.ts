import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { DiaryKind } from '../../schemas/diary.ts'
import type { GateCheck, GateItem, ReminderKind, WakingStep } from '../../schemas/season.ts'
import type { Phase, Taxon } from '../../schemas/species.ts'
import { phaseAt } from '../../shared/judging/band.ts'
import { instant } from '../../schemas/amounts.ts'

export const gateName: Record<GateCheck, string> = {
  profile: 'Species',
  age: 'Age',
  mass: 'Mass',
  kept: 'Time with you',
  weighed: 'Weigh-in',
  condition: 'Condition',
  health: 'Health check',
  gut: 'Empty gut',
  place: 'Watched place',
  alarm: 'Tested alarm',
  cap: 'Length of the hold',
}

export const gateStandingName: Record<GateItem['standing'], string> = {
  met: 'met',
  missing: 'missing',
  against: 'speaks against it',
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
  warm: 'Warm',
  drink: 'Drinks',
  urates: 'Passes urates',
  eat: 'Eats',
  normal: 'All as usual',
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
  feedUp: 'feeds up',
  fast: 'fasts',
  coolDown: 'cools down',
  hold: 'is in hold',
  warmUp: 'warms up',
  awake: 'is awake',
}

export const sexName = { female: 'female', male: 'male' } as const
export const ageClassName = { hatchling: 'hatchling', juvenile: 'juvenile', adult: 'adult' } as const

/** What is measured of an animal, by how it is built. */
export const lengthName: Record<Taxon, string> = {
  tortoise: 'Straight carapace length',
  turtle: 'Straight carapace length',
  snake: 'Whole length',
  lizard: 'Snout to vent',
  frog: 'Snout to vent',
  salamander: 'Snout to vent',
}

export const hasShell = (taxon: Taxon): boolean => taxon === 'tortoise' || taxon === 'turtle'
