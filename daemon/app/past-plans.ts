import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { type ColdWinter, wintersOf } from '../../shared/animals/winters.ts'
import type { DiaryStore } from '../ports/season.ts'

export interface PastPlan {
  /** With the steps that were in force in the stretch, as far as the diary knows them. */
  readonly animal: Animal
  readonly winters: readonly ColdWinter[]
}

/** An animal of today with the plans that it had in a past stretch. */
export function pastPlan(
  { timeZone, hemisphere }: Pick<Household, 'timeZone' | 'hemisphere'>,
  animal: Animal,
  diary: Pick<DiaryStore, 'entries'>,
  stretch: { readonly from: Instant; readonly to: Instant },
  now: Instant,
): PastPlan {
  const history = diary.entries({ animal: animal.id }).toReversed()
  const winters = wintersOf({ animal, history, now, timeZone, hemisphere }).filter(
    ({ from, to }) => from < stretch.to && (to ?? Infinity) > stretch.from,
  )
  if (winters.length === 0) return { animal, winters }
  const plan = winters.flatMap(({ steps, from, to }, i) => {
    const next = winters[i + 1]?.from ?? Infinity
    const mine = steps.filter((step) => step.from < next)
    // Woken before its time: the warming began then, whatever the plan said.
    const warm = mine.find(({ phase, from: at }) => phase === 'warmUp' && at > from)
    if (to === null || warm === undefined || warm.from <= to) return mine
    const moved = warm.from - to
    return mine.flatMap((step) => {
      if (step.from < to) return [step]
      return step.from < warm.from ? [] : [{ ...step, from: (step.from - moved) as Instant }]
    })
  })
  return { animal: { ...animal, plan: ascending(plan), draft: [] }, winters }
}

/** Of two steps at one instant the later counts. */
function ascending(plan: Animal['plan']): Animal['plan'] {
  const inTime = plan.toSorted((one, other) => one.from - other.from)
  return inTime.filter((step, i) => inTime[i + 1]?.from !== step.from)
}
