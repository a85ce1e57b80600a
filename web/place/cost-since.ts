import type { Household } from '../../schemas/household.ts'
import { days, instant, later } from '../../schemas/amounts.ts'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Phase } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { seasonOf } from '../../shared/time/season.ts'
import { localDate } from '../../shared/time/wall.ts'

/** From when to when the winter of a place is counted. `plan`: by its animals' plans · `usual`: the last 30 days. */
export interface CostStretch {
  readonly by: 'plan' | 'usual'
  readonly from: Instant
  readonly to: Instant
  /** What began it; null for the last 30 days. */
  readonly phase: Phase | null
  /** It is over: they are up again. */
  readonly isOver: boolean
}

/** What is counted where nobody is planned. */
const usualStretch = days(30)
/** Counting up to the hour: a page that stays open asks once an hour, not each second. */
const stepMs = 3_600_000
const down: readonly Phase[] = ['coolDown', 'hold', 'warmUp']

/**
 * Since the first of the animals in here began to cool down or to hold this season, until the last of them is awake again; a fridge
 * counts those in its boxes. Nobody planned: the last 30 days.
 */
export function costStretch(
  place: Pick<PlaceNow, 'id' | 'timeZone'>,
  household: Pick<Household, 'animals' | 'places' | 'hemisphere'>,
  now: number,
): CostStretch {
  const hour = instant(Math.floor(now / stepMs) * stepMs)
  const inside = within(place.id, household.places)
  const season = (at: number): string =>
    seasonOf(localDate(instant(at), place.timeZone), household.hemisphere)
  let [from, to, phase]: [number, number, Phase | null] = [Infinity, -Infinity, null]
  for (const { place: where, mode, plan } of household.animals) {
    if (where === null || !inside.has(where) || mode !== 'goesDown') continue
    for (const [i, step] of plan.entries()) {
      const end = plan[i + 1]?.from ?? Infinity
      if (!down.includes(step.phase) || step.from >= hour || season(step.from) !== season(now)) continue
      if (step.phase !== 'warmUp' && step.from < from) [from, phase] = [step.from, step.phase]
      to = Math.max(to, end)
    }
  }
  if (phase === null)
    return { by: 'usual', from: later(hour, -usualStretch), to: hour, phase: null, isOver: false }
  const isOver = to <= hour
  return { by: 'plan', from: instant(from), to: isOver ? instant(to) : hour, phase, isOver }
}

/** The place and everything inside it. */
function within(id: string, places: Household['places']): ReadonlySet<string> {
  const found = new Set([id])
  for (let size = 0; size < found.size; ) {
    size = found.size
    for (const place of places) if (place.parent !== null && found.has(place.parent)) found.add(place.id)
  }
  return found
}
