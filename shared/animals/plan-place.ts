import type { PlanStep } from '../../schemas/animal.ts'
import type { Hemisphere, Place } from '../../schemas/place.ts'
import type { PlanConflict } from '../../schemas/season.ts'
import { bandsAt, type Tenant } from '../judging/band.ts'
import { seasonDates, seasonOf } from '../time/season.ts'
import { localDate } from '../time/wall.ts'
import { sources } from '../species/sources.ts'
import { dayWords } from './day-words.ts'
import { quantityWord } from '../telling/words.ts'
import { holdOf, isInReach } from './plan-days.ts'
import type { Subject } from './subject.ts'
import { say } from '../words/say.ts'

/** What of the house stands round a plan. */
export interface PlanSurroundings {
  readonly hemisphere: Hemisphere
  /** Where the animal lives; null: nowhere. */
  readonly place: Place | null
  /** Whether a working sensor judges it. */
  readonly isWatched: boolean
  /** The fridge that the place is or stands in; null: none. */
  readonly fridge: Place | null
  /** The places whose bands follow this animal, with the others whose bands hold there: with the draft as their plan where they have one. */
  readonly shared: readonly { readonly place: Place; readonly others: readonly Tenant[] }[]
}

/** What speaks against these steps by where and when: the box and who shares it, and the season. */
export function placeConflicts(
  subject: Subject,
  steps: readonly PlanStep[],
  around: PlanSurroundings,
): readonly PlanConflict[] {
  const hold = holdOf(steps)
  if (hold === null || subject.profile.hold === undefined || !isInReach(steps)) return []
  return [
    ...tooLate(subject, steps, around.hemisphere),
    ...boxMates(subject, steps, around),
    ...notReady(around),
  ]
}

/** Half a month after the last of the wild ones is seen. Derived from wild Hermann's tortoises, mid-November to mid-March. */
const awakeBy = { north: '04-15', south: '10-15' } as const satisfies Record<Hemisphere, string>

function tooLate(subject: Subject, steps: readonly PlanStep[], hemisphere: Hemisphere): PlanConflict[] {
  const { timeZone, now } = subject
  const hold = holdOf(steps)
  if (hold === null) return []
  const conflicts: PlanConflict[] = []
  const said = (weight: PlanConflict['weight'], sentence: string): void => {
    conflicts.push({
      kind: 'tooLate',
      weight,
      sentence,
      source: sources.keepers,
      evidence: 'commonPractice',
    })
  }
  const season = seasonDates(seasonOf(localDate(hold.from, timeZone), hemisphere))
  const by = `${(season?.last ?? '').slice(0, 4)}-${awakeBy[hemisphere]}`
  const wakesOn = hold.to === null ? null : localDate(hold.to, timeZone)
  if (season !== null && wakesOn !== null && wakesOn > season.last)
    said(
      'refused',
      say('The hold would run past {day}, into the next season.', { day: dayWords(season.last) }),
    )
  else if (wakesOn !== null && wakesOn > by)
    said(
      'warning',
      say('It would be woken on {day}; by {day2} those outside are awake.', {
        day: dayWords(wakesOn),
        day2: dayWords(by),
      }),
    )
  const cold = steps.find(({ phase }) => phase === 'coolDown' || phase === 'hold')
  if (cold !== undefined && localDate(cold.from, timeZone) < localDate(now, timeZone))
    said(
      'warning',
      say(
        'Cooling should have begun on {day}. Begun later, the hold is the shorter: it is woken on the same day.',
        { day: dayWords(localDate(cold.from, timeZone)) },
      ),
    )
  return conflicts
}

/**
 * Bands move along straight lines between the days on which a phase begins, so that two that leave no room for each other
 * do so on one of those days.
 */
function boxMates(
  subject: Subject,
  steps: readonly PlanStep[],
  { shared }: PlanSurroundings,
): PlanConflict[] {
  const { animal, profile, guidance, now } = subject
  const tenant: Tenant = { animal: { ...animal, plan: [...steps] }, profile }
  for (const { place, others } of shared) {
    const turns = [tenant, ...others].flatMap((one) => one.animal.plan.map(({ from }) => from))
    for (const at of [now, ...turns.filter((from) => from > now).toSorted((one, other) => one - other)]) {
      const { conflict } = bandsAt(place, [tenant, ...others], guidance, at)
      if (conflict === null) continue
      return [
        {
          kind: 'boxMates',
          weight: 'refused',
          sentence: say('From {day} no {quantity} in {place} suits both: {first}; {second}.', {
            day: dayWords(localDate(at, subject.timeZone)),
            quantity: quantityWord(conflict.quantity),
            place: place.name,
            first: conflict.first,
            second: conflict.second,
          }),
          source: null,
          evidence: null,
        },
      ]
    }
  }
  return []
}

function notReady({ place, isWatched, fridge }: PlanSurroundings): PlanConflict[] {
  const said = (sentence: string): PlanConflict[] => [
    { kind: 'placeNotReady', weight: 'warning', sentence, source: null, evidence: null },
  ]
  if (place === null) return said(say('It has no place yet. Give it the box in which it is to lie.'))
  const unwatched = isWatched ? [] : said(say('No working sensor judges {place} now.', { place: place.name }))
  if (fridge === null) return unwatched
  if (fridge.trial === undefined)
    return [...unwatched, ...said(say('{fridge} has not been run empty for trial.', { fridge: fridge.name }))]
  return fridge.trial.until === null
    ? [...unwatched, ...said(say('The trial run of {fridge} is still going on.', { fridge: fridge.name }))]
    : unwatched
}
