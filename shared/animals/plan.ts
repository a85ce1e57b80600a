import type { PlanWish } from '../../schemas/animal.ts'
import type { PlanConflict, PlanProposal } from '../../schemas/season.ts'
import type { Figure } from '../../schemas/species.ts'
import { planCapOf, type PlanCap } from './plan-cap.ts'
import { planConflicts } from './plan-conflicts.ts'
import { planDays, stepsOf } from './plan-days.ts'
import { marksOf } from './plan-marks.ts'
import { countWords } from './day-words.ts'
import { figureOf, type Subject } from './subject.ts'
import { say } from '../words/say.ts'

/** The winter reckoned back from a wish. The species must go down (`profile.season`). Its hold is never past the cap (S3). */
export function proposePlan(subject: Subject, wish: PlanWish): PlanProposal {
  const { season } = subject.profile
  const cap = planCapOf(subject)
  if (season === undefined || cap === null)
    throw new Error(`${subject.profile.id} has no season: it must not go down.`)
  const steps = stepsOf(planDays(subject, season, cap, wish), subject.timeZone)
  return {
    steps,
    wish,
    marks: marksOf(subject, steps),
    conflicts: [...shortened(wish, cap), ...conflictsOf(subject, steps)],
    figures: figuresOf(subject, cap),
  }
}

/** What speaks against these steps for this animal: caps, rates, age, mass. */
export const conflictsOf = (subject: Subject, steps: PlanProposal['steps']): readonly PlanConflict[] =>
  planConflicts(subject, steps)

/** The wish was longer than the cap. */
function shortened({ weeks }: PlanWish, cap: PlanCap): PlanConflict[] {
  const wished = weeks === undefined ? 0 : Math.round(weeks * 7)
  if (wished <= cap.days) return []
  return [
    {
      kind: 'tooLong',
      weight: 'warning',
      sentence: say('You asked for {count} of hold; the plan stops at the {count2} that are allowed.', {
        count: countWords(wished, 'day'),
        count2: countWords(cap.days, 'day'),
      }),
      source: cap.figure.source,
      evidence: cap.figure.evidence,
    },
  ]
}

function figuresOf(subject: Subject, cap: PlanCap): PlanProposal['figures'] {
  const { season } = subject.profile
  if (season === undefined) return []
  const row = (name: string, figure: Figure | undefined, unit: string): PlanProposal['figures'] =>
    figure === undefined
      ? []
      : [
          {
            name,
            value: figureOf(figure, subject.guidance),
            unit,
            source: figure.source,
            evidence: figure.evidence,
          },
        ]
  return [
    ...row(say('Usual hold'), season.usualWeeks, say('weeks')),
    ...row(longestName[cap.why], cap.figure, say('weeks')),
    ...row(say('Without food before the cold'), season.fastWeeks, say('weeks')),
    ...row(say('Kept at least so warm meanwhile'), season.fastWarm, '°C'),
    ...row(say('Good feeding before that'), season.feedUpWeeks, say('weeks')),
    ...row(say('Cooled from'), season.warm, '°C'),
    ...row(say('Held at'), season.aim, '°C'),
    ...row(say('Cooled at most'), season.coolPerWeek, say('K a week')),
    ...row(say('Warmed within'), season.warmUpDays, say('days')),
    ...row(say('Youngest'), season.leastYears, say('years')),
    ...row(say('Lightest'), season.leastGrams, 'g'),
  ]
}

const longestName = {
  first: say('Longest first hold'),
  young: say('Longest hold of a young animal'),
  adult: say('Longest hold'),
} as const satisfies Record<PlanCap['why'], string>
