import { usePage } from '../page/use-page.ts'
import { keptZone } from './kept-choice.ts'
import { boxLack, firstSteps, isSameClock, type Lack, type Step } from './steps.ts'

export interface FirstStepsNow {
  readonly steps: readonly Step[]
  /** The first that is not done. */
  readonly next: Step
  readonly lack: Lack | null
  /** Of this browser. */
  readonly zone: string
}

/** Null where nothing is left to do, where it is not known yet, and for whoever may not do it. */
export function useFirstSteps(): FirstStepsNow | null {
  const { household, telling, person, practice, now } = usePage()
  const home = household.value
  if (home === null || person.value?.role !== 'keeper' || practice.value.running) return null
  // An empty house has no contacts to ask about: it need not wait.
  const contacts = telling.now.value?.contacts ?? (home.places.length === 0 ? [] : null)
  if (contacts === null) return null
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone
  const isZoneRight = keptZone.value.value === home.timeZone || isSameClock(home.timeZone, zone, now.peek())
  const steps = firstSteps(home, contacts, isZoneRight)
  const next = steps.find((step) => !step.isDone)
  return next === undefined ? null : { steps, next, lack: boxLack(home), zone }
}
