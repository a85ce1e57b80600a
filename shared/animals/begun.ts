import type { PlanStep } from '../../schemas/animal.ts'
import { addDays, daysBetween, localDate } from '../time/wall.ts'
import { noonOf } from './plan-days.ts'
import { figureOf, type Subject } from './subject.ts'

/** The draft begun at `now`: later than drafted, it is woken on the same day; earlier, all of it comes earlier. Null: no hold is left. */
export function begunAt(subject: Subject): readonly PlanStep[] | null {
  const { animal, now, timeZone } = subject
  const cold = animal.draft.findIndex(({ phase }) => phase === 'coolDown' || phase === 'hold')
  const first = animal.draft[cold]
  if (first === undefined) return null
  const today = localDate(now, timeZone)
  const late = daysBetween(localDate(first.from, timeZone), today)
  const begun = animal.draft.slice(cold).map((step, i): PlanStep => {
    if (i === 0) return { ...step, from: now }
    const isCold = step.phase === 'coolDown' || step.phase === 'hold'
    if (late > 0 && !isCold) return step
    return { ...step, from: noonOf(addDays(localDate(step.from, timeZone), late), timeZone) }
  })
  const before = animal.draft.slice(0, cold).filter(({ from }) => from < now)
  const steps = [...before, ...begun]
  return steps.every((step, i) => i === 0 || step.from > (steps[i - 1]?.from ?? step.from)) ? steps : null
}

/** Cooling or hold ended at `now`: warmed for the profile's days, then awake. */
export function warmedFrom(subject: Subject): readonly PlanStep[] {
  const { animal, profile, guidance, now, timeZone } = subject
  const figure = profile.season?.warmUpDays
  const days = figure === undefined ? 1 : Math.max(1, Math.ceil(figureOf(figure, guidance) - 1e-9))
  return [
    ...animal.plan.filter(({ from }) => from < now),
    { phase: 'warmUp', from: now },
    { phase: 'awake', from: noonOf(addDays(localDate(now, timeZone), days), timeZone) },
  ]
}
