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

/** What speaks against these steps by the animal's own figures (S3). `refused` for what is past a cap. */
export function planConflicts(subject: Subject, steps: readonly PlanStep[]): readonly PlanConflict[] {
  const { season, common, winter, hold } = subject.profile
  if (!steps.some(({ phase }) => phase === 'coolDown' || phase === 'hold' || phase === 'warmUp')) return []
  if (season === undefined || hold === undefined || winter === 'never')
    return [
      {
        kind: 'neverDown',
        weight: 'refused',
        sentence: `${common} must not go down for winter.`,
        source: null,
        evidence: null,
      },
    ]
  if (!isInReach(steps))
    return [
      {
        kind: 'tooLate',
        weight: 'refused',
        sentence: 'The days of this plan lie too far away.',
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
  const by = { first: ' for a first hold', young: ' for a young animal', adult: '' }[cap.why]
  const allowed = `${countWords(cap.days, 'day')} (${tidy(cap.weeks)} weeks) allowed${by}`
  const conflict = (weight: PlanConflict['weight'], sentence: string): PlanConflict[] => [
    { kind: 'tooLong', weight, sentence, source, evidence },
  ]
  if (hold.to === null) return conflict('refused', `No end of the hold is planned; at most ${allowed}.`)
  const days = daysFrom(hold.from, hold.to, subject.timeZone)
  if (days > cap.days)
    return conflict('refused', `A hold of ${countWords(days, 'day')} is longer than the ${allowed}.`)
  if (days > cap.strictDays)
    return conflict(
      'warning',
      `A hold of ${countWords(days, 'day')}: stricter advice allows ${countWords(cap.strictDays, 'day')}.`,
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
      ? `${animal.name} will not be ${tidy(figureOf(leastYears, guidance))} years old when its hold begins.`
      : `${animal.name} is young: stricter advice is to wait until ${tidy(leastYears.value)} years.`
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
    ? `${subject.animal.name} weighs ${tidy(grams)} g; below ${tidy(least)} g it must not go down.`
    : `${subject.animal.name} weighs ${tidy(grams)} g: stricter advice is to wait until ${tidy(least)} g.`
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
      ? `Nothing is planned between warmth and hold: cool it by at most ${tidy(most)} K a week.`
      : `${tidy(fall)} K in ${countWords(days, 'day')} are ${tidy((fall / days) * 7)} K a week; cool it by at most ${tidy(most)} K a week.`
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
      sentence: `It fasts for ${countWords(planned, 'day')} before it is cooled; ${countWords(needed, 'day')} are advised. Food left in a cold gut makes it ill.`,
      source: season.fastWeeks.source,
      evidence: season.fastWeeks.evidence,
    },
  ]
}

const weightOf = (standing: 'note' | 'past'): PlanConflict['weight'] =>
  standing === 'past' ? 'refused' : 'warning'

/** `13`, `6.5`. */
const tidy = (value: number): string => String(Number(value.toFixed(1)))
