import type { PlanStep } from '../../schemas/animal.ts'
import type { PlanConflict } from '../../schemas/season.ts'
import type { SeasonFigures } from '../../schemas/species.ts'
import { localDate } from '../time/wall.ts'
import { countWords } from './day-words.ts'
import { planCapOf } from './plan-cap.ts'
import { standingTo } from './limit-words.ts'
import { areFull } from './months.ts'
import { daysFrom, firstOf, holdOf, isInReach } from './plan-days.ts'
import { figureOf, lastOf, type Subject } from './subject.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** What speaks against these steps by the animal's own figures (S3). `refused` for what is past a cap. */
export function planConflicts(subject: Subject, steps: readonly PlanStep[]): readonly PlanConflict[] {
  const { season, common, winter, hold } = subject.profile
  if (!steps.some(({ phase }) => phase === 'coolDown' || phase === 'hold' || phase === 'warmUp')) return []
  if (season === undefined || hold === undefined || winter === 'never')
    return [
      {
        kind: 'neverDown',
        weight: 'refused',
        sentence: say('{common} must not go down for winter.', { common }),
        source: null,
        evidence: null,
      },
    ]
  if (!isInReach(steps))
    return [
      {
        kind: 'tooLate',
        weight: 'refused',
        sentence: say('The days of this plan lie too far away.'),
        source: null,
        evidence: null,
      },
    ]
  return [
    ...tooLong(subject, steps),
    ...tooYoung(subject, season, steps),
    ...tooLight(subject, season),
    ...tooFast(subject, season, steps),
    ...fastTooShort(subject, season, steps),
  ]
}

function tooLong(subject: Subject, steps: readonly PlanStep[]): PlanConflict[] {
  const hold = holdOf(steps)
  const cap = planCapOf(subject)
  if (hold === null || cap === null) return []
  const { source, evidence } = cap.figure
  const by = { first: say(' for a first hold'), young: say(' for a young animal'), adult: '' }[cap.why]
  const allowed = say('{count} ({tidy} weeks) allowed{by}', {
    count: countWords(cap.days, 'day'),
    tidy: tidy(cap.weeks),
    by,
  })
  const conflict = (weight: PlanConflict['weight'], sentence: string): PlanConflict[] => [
    { kind: 'tooLong', weight, sentence, source, evidence },
  ]
  if (hold.to === null)
    return conflict('refused', say('No end of the hold is planned; at most {allowed}.', { allowed }))
  const days = daysFrom(hold.from, hold.to, subject.timeZone)
  if (days > cap.days)
    return conflict(
      'refused',
      say('A hold of {count} is longer than the {allowed}.', { count: countWords(days, 'day'), allowed }),
    )
  if (days > cap.strictDays)
    return conflict(
      'warning',
      say('A hold of {count}: stricter advice allows {count2}.', {
        count: countWords(days, 'day'),
        count2: countWords(cap.strictDays, 'day'),
      }),
    )
  return []
}

function tooYoung(
  subject: Subject,
  { leastYears }: SeasonFigures,
  steps: readonly PlanStep[],
): PlanConflict[] {
  const { animal, guidance, timeZone, now } = subject
  if (leastYears === undefined) return []
  const on = localDate(firstOf(steps, 'hold')?.from ?? now, timeZone)
  const isShort = (years: number): boolean => isYoungerThan(subject, years, on)
  const standing = standingTo(leastYears, guidance, isShort)
  if (standing === 'kept') return []
  const sentence =
    standing === 'past'
      ? say('{animal} will not be {tidy} years old when its hold begins.', {
          animal: animal.name,
          tidy: tidy(figureOf(leastYears, guidance)),
        })
      : say('{animal} is young: stricter advice is to wait until {tidy} years.', {
          animal: animal.name,
          tidy: tidy(leastYears.value),
        })
  return [
    {
      kind: 'tooYoung',
      weight: weightOf(standing),
      sentence,
      source: leastYears.source,
      evidence: leastYears.evidence,
    },
  ]
}

/** Known to be younger. A hatchling without a date is younger than any age; of a juvenile nothing is known. */
export function isYoungerThan({ animal }: Pick<Subject, 'animal'>, years: number, on: string): boolean {
  if (years <= 0) return false
  if (animal.hatched !== undefined) return !areFull(animal.hatched, years * 12, on)
  return animal.ageClass === 'hatchling'
}

function tooLight(subject: Subject, { leastGrams }: SeasonFigures): PlanConflict[] {
  const last = lastOf(subject.history, 'weighed', subject.now)
  if (leastGrams === undefined || last === undefined) return []
  const { grams } = last.note
  const standing = standingTo(leastGrams, subject.guidance, (least) => grams < least)
  if (standing === 'kept') return []
  return [
    {
      kind: 'tooLight',
      weight: weightOf(standing),
      sentence: lightWords(subject, grams, standing),
      source: leastGrams.source,
      evidence: leastGrams.evidence,
    },
  ]
}

export function lightWords(subject: Subject, grams: number, standing: 'note' | 'past'): string {
  const figure = subject.profile.season?.leastGrams
  const least =
    figure === undefined ? 0 : standing === 'past' ? figureOf(figure, subject.guidance) : figure.value
  return standing === 'past'
    ? say('{animal} weighs {tidy} g; below {tidy2} g it must not go down.', {
        animal: subject.animal.name,
        tidy: tidy(grams),
        tidy2: tidy(least),
      })
    : say('{animal} weighs {tidy} g: stricter advice is to wait until {tidy2} g.', {
        animal: subject.animal.name,
        tidy: tidy(grams),
        tidy2: tidy(least),
      })
}

function tooFast(subject: Subject, season: SeasonFigures, steps: readonly PlanStep[]): PlanConflict[] {
  const hold = firstOf(steps, 'hold')
  const cool = firstOf(steps, 'coolDown')
  if (hold === null || subject.profile.winter === 'never') return []
  const { source, evidence } = season.coolPerWeek
  const most = figureOf(season.coolPerWeek, subject.guidance)
  const fall = figureOf(season.warm, subject.guidance) - figureOf(season.aim, subject.guidance)
  const days = cool === null || cool.from >= hold.from ? 0 : daysFrom(cool.from, hold.from, subject.timeZone)
  if (fall <= 0 || (days > 0 && (fall / days) * 7 <= most + 1e-9)) return []
  const sentence =
    days === 0
      ? say('Nothing is planned between warmth and hold: cool it by at most {tidy} K a week.', {
          tidy: tidy(most),
        })
      : say('{tidy} K in {count} are {tidy2} K a week; cool it by at most {tidy3} K a week.', {
          tidy: tidy(fall),
          count: countWords(days, 'day'),
          tidy2: tidy((fall / days) * 7),
          tidy3: tidy(most),
        })
  return [{ kind: 'tooFast', weight: 'warning', sentence, source, evidence }]
}

/** A warning only: what counts is when it really last ate, which the gate asks. */
function fastTooShort(subject: Subject, season: SeasonFigures, steps: readonly PlanStep[]): PlanConflict[] {
  const cold = steps.find(({ phase }) => phase === 'coolDown' || phase === 'hold')
  if (cold === undefined) return []
  const needed = Math.ceil(figureOf(season.fastWeeks, subject.guidance) * 7 - 1e-9)
  const fast = firstOf(steps, 'fast')
  const planned =
    fast === null || fast.from > cold.from ? 0 : daysFrom(fast.from, cold.from, subject.timeZone)
  if (planned >= needed) return []
  return [
    {
      kind: 'fastTooShort',
      weight: 'warning',
      sentence: say(
        'It fasts for {count} before it is cooled; {count2} are advised. Food left in a cold gut makes it ill.',
        { count: countWords(planned, 'day'), count2: countWords(needed, 'day') },
      ),
      source: season.fastWeeks.source,
      evidence: season.fastWeeks.evidence,
    },
  ]
}

const weightOf = (standing: 'note' | 'past'): PlanConflict['weight'] =>
  standing === 'past' ? 'refused' : 'warning'

/** `13`, `6.5`. */
const tidy = (value: number): string => inReadersDigits(String(Number(value.toFixed(1))))
