import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Hemisphere } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { seasonOf } from '../time/season.ts'
import { localDate } from '../time/wall.ts'
import { linesOf } from './subject.ts'

/** One winter that an animal spent in the cold, or spends. */
export interface ColdWinter {
  readonly season: string
  /** When the cooling began. */
  readonly from: Instant
  /** When the warming began; null while it is down. */
  readonly to: Instant | null
  readonly steps: readonly PlanStep[]
  readonly anyway: string | null
  readonly wokenWhy: string | null
}

/**
 * The winters of an animal, oldest first: by the diary, and the one of the plan in force where that began before there
 * was a diary. A waking ends the winter before it; so does the plan's own warm-up, where nobody noted one.
 */
export function wintersOf(of: {
  readonly animal: Animal
  /** Oldest first. */
  readonly history: readonly DiaryLine[]
  readonly now: Instant
  readonly timeZone: string
  readonly hemisphere: Hemisphere
}): readonly ColdWinter[] {
  const { animal, now } = of
  const seasonAt = (at: Instant): string => seasonOf(localDate(at, of.timeZone), of.hemisphere)
  const begun = linesOf(of.history, 'coolingBegan').filter(({ at }) => at <= now)
  const woken = linesOf(of.history, 'warmingBegan').filter(({ at }) => at <= now)
  const noted = begun.map((line, i): ColdWinter => {
    const next = begun[i + 1]?.at ?? Infinity
    const end = woken.find(({ at }) => at >= line.at && at < next)
    // A plan moved on by hand since: what is in force now says when it ends
    const steps = i === begun.length - 1 && isPlanOf(animal.plan, line.at) ? animal.plan : line.note.steps
    return {
      season: seasonAt(line.at),
      from: line.at,
      to: end?.at ?? plannedEnd(steps, line.at, Math.min(next, now + 1)),
      steps,
      anyway: line.note.anyway ?? null,
      wokenWhy: end?.note.why ?? null,
    }
  })
  const first = animal.plan.find(({ phase }) => phase === 'coolDown' || phase === 'hold')
  const isKnown =
    first === undefined || first.from > now || noted.some(({ to }) => to === null || to >= first.from)
  if (isKnown) return noted
  const end = woken.find(({ at }) => at >= first.from)
  const planned: ColdWinter = {
    season: seasonAt(first.from),
    from: first.from,
    to: end?.at ?? plannedEnd(animal.plan, first.from, now + 1),
    steps: animal.plan,
    anyway: null,
    wokenWhy: end?.note.why ?? null,
  }
  return [...noted, planned].toSorted((one, other) => one.from - other.from)
}

/** The plan in force is that of the winter that began then: its cold phases are not all over before. */
const isPlanOf = (plan: readonly PlanStep[], began: Instant): boolean =>
  plan.some(({ phase, from }) => phase === 'warmUp' && from >= began)

function plannedEnd(steps: readonly PlanStep[], from: Instant, before: number): Instant | null {
  const end = steps.find((step) => (step.phase === 'warmUp' || step.phase === 'awake') && step.from >= from)
  return end !== undefined && end.from < before ? end.from : null
}
