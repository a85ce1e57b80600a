import type { PlanStep } from '../../schemas/animal.ts'
import type { PlanProposal } from '../../schemas/season.ts'
import type { SeasonFigures } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { sources } from '../species/sources.ts'
import { addDays, localDate } from '../time/wall.ts'
import { countWords } from './day-words.ts'
import { firstOf, isInReach, noonOf } from './plan-days.ts'
import { figureOf, type Subject } from './subject.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

export type PlanMark = PlanProposal['marks'][number]

/** Two whole months, whichever they are: July and August have 62 days. */
const faecesTestDays = 62
/** Before the fast, so that what it finds can still be seen to. Derived. */
const checkBeforeFastDays = 14
/** The gate takes answers of the last 60 days; a few days are left for a plan that begins late. Derived. */
const oldestCheckDays = 56

/** Days on the way of a winter with these steps, in order of time; none without a cool-down. */
export function marksOf(subject: Subject, steps: readonly PlanStep[]): PlanMark[] {
  const { season } = subject.profile
  const cool = firstOf(steps, 'coolDown')
  if (season === undefined || cool === null || !isInReach(steps)) return []
  const zone = subject.timeZone
  const coolOn = localDate(cool.from, zone)
  const fastDays = Math.ceil(figureOf(season.fastWeeks, subject.guidance) * 7 - 1e-9)
  const fast = firstOf(steps, 'fast')
  const fastOn = fast === null ? addDays(coolOn, -fastDays) : localDate(fast.from, zone)
  const checkOn = latest(addDays(fastOn, -checkBeforeFastDays), addDays(coolOn, -oldestCheckDays))
  const marks: PlanMark[] = [
    {
      kind: 'faecesTest',
      at: noonOf(addDays(coolOn, -faecesTestDays), zone),
      sentence: say(
        'Have its faeces tested for parasites by now: treatment must be finished two months before the cold.',
      ),
      source: sources.bpt,
      evidence: 'secondHand',
    },
    {
      kind: 'healthCheck',
      at: noonOf(checkOn, zone),
      sentence: say('Look it over and answer the health list; let a reptile vet see it.'),
      source: sources.bva,
      evidence: 'read',
    },
    {
      kind: 'lastMeal',
      at: noonOf(fastOn, zone),
      sentence: say('Its last meal. From now on no food for {count}{fasting}.', {
        count: countWords(fastDays, 'day'),
        fasting: fastingWords(season),
      }),
      source: season.fastWeeks.source,
      evidence: season.fastWeeks.evidence,
    },
    ...coolSteps(subject, season, coolOn),
    ...wakingMarks(subject, season, steps),
  ]
  return marks.toSorted((one, other) => one.at - other.at)
}

/** Only what this species is given while it fasts: nobody bathes a gecko for it. */
function fastingWords({ fastWarm, batheDays }: SeasonFigures): string {
  if (fastWarm === undefined) return batheDays === undefined ? '' : say('; bathe it')
  return batheDays === undefined
    ? say('; keep it warm while the gut empties')
    : say('; keep it warm while the gut empties, and bathe it')
}

/** 20 → 15 → 10 → 5 °C in weekly steps, each no greater than a week may cool. */
function coolSteps(subject: Subject, season: SeasonFigures, coolOn: string): PlanMark[] {
  const perWeek = figureOf(season.coolPerWeek, subject.guidance)
  const aim = figureOf(season.aim, subject.guidance)
  const marks: PlanMark[] = []
  let from = figureOf(season.warm, subject.guidance)
  for (let week = 0; from > aim && week < mostSteps; week += 1) {
    const to = Math.max(aim, from - perWeek)
    marks.push({
      kind: 'coolStep',
      at: noonOf(addDays(coolOn, week * 7), subject.timeZone),
      sentence: say(
        'Let it cool from {short} to {short2} °C over the next {count}, at most {short3} K a week.',
        {
          short: short(from),
          short2: short(to),
          count: countWords(Math.ceil(((from - to) / perWeek) * 7 - 1e-9), 'day'),
          short3: short(perWeek),
        },
      ),
      source: season.coolPerWeek.source,
      evidence: season.coolPerWeek.evidence,
    })
    from = to
  }
  return marks
}

function wakingMarks(subject: Subject, season: SeasonFigures, steps: readonly PlanStep[]): PlanMark[] {
  const warm = firstOf(steps, 'warmUp')
  const awake = warm === null ? undefined : steps.find(({ from }) => from > warm.from)
  if (awake === undefined) return []
  const awakeOn = localDate(awake.from, subject.timeZone)
  const mealDays = Math.ceil(figureOf(season.firstMealDays, subject.guidance) - 1e-9)
  const at = (days: number): Instant => noonOf(addDays(awakeOn, days), subject.timeZone)
  return [
    {
      kind: 'firstBath',
      at: at(0),
      sentence: say('It is warm again: {part}, and see that it drinks within a day.', {
        part: season.batheDays === undefined ? say('give it water') : say('bathe it'),
      }),
      source: sources.keepers,
      evidence: 'commonPractice',
    },
    {
      kind: 'firstMeal',
      at: at(mealDays),
      sentence: say('Offer a first, small meal.'),
      source: season.firstMealDays.source,
      evidence: season.firstMealDays.evidence,
    },
  ]
}

/** Half a year of cooling is no cooling (X3). */
const mostSteps = 26

const latest = (one: string, other: string): string => (one > other ? one : other)

/** `20`, `7.5`. */
const short = (value: number): string => inReadersDigits(String(Number(value.toFixed(1))))
