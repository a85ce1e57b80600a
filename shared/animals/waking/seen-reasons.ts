import { days, hours, later } from '../../../schemas/amounts.ts'
import type { MassNow } from '../../../schemas/condition.ts'
import type { Instant } from '../../../schemas/units.ts'
import { localDate } from '../../time/wall.ts'
import { dayWords } from '../day-words.ts'
import { publications } from '../publications.ts'
import { linesOf, type Subject } from '../subject.ts'
import { inOrder, weighInsOf } from '../weigh-ins.ts'
import { openSigns, signWords } from './signs.ts'
import { type Reason, soonBefore } from './time-reasons.ts'
import { say } from '../../words/say.ts'

/**
 * Seen to move twice within this time it is restless; once may be a turn in its sleep. Derived: "activity"
 * (Forbes) with no number, and two or three looks a week.
 */
const restlessWithin = days(3)
/** Two people note one stir: nearer than this it is one. Derived. */
const sameStirWithin = hours(1)
/** So long one stir is remembered. Derived: as long as two looks are apart at most, twice. */
const stirFades = days(7)

export function signReason(subject: Subject, downAt: Instant): Reason | null {
  const open = openSigns(subject, downAt)
  const first = open[0]
  if (first === undefined) return null
  return {
    reason: 'sign',
    at: first.at,
    isNow: true,
    sentence: say('{sign} seen on {day}: end the hold and take it to a reptile vet.', {
      sign: signWords(open),
      day: dayWords(localDate(first.at, subject.timeZone)),
    }),
    source: `${publications.forbes}; ${publications.btk}`,
    evidence: 'secondHand',
  }
}

export function massReason({ now }: Subject, mass: MassNow | null): Reason | null {
  if (mass === null || mass.last === null) return null
  const grave = mass.rules.find(({ verdict }) => verdict === 'wake')
  if (mass.standing === 'wake' && grave !== undefined)
    return {
      reason: 'mass',
      at: mass.last.at,
      isNow: true,
      sentence: grave.sentence,
      source: grave.source,
      evidence: grave.evidence,
    }
  const total = mass.rules.find(({ rule }) => rule === 'total')
  if (mass.meetsTotal === null || total === undefined || mass.meetsTotal.likely > later(now, soonBefore))
    return null
  return {
    reason: 'mass',
    at: mass.meetsTotal.likely,
    isNow: false,
    sentence: say('If it goes on losing so, it meets the {part} % it may lose in all within a week.', {
      part: total.limitPercent ?? 0,
    }),
    source: total.source,
    evidence: total.evidence,
  }
}

/**
 * Urine, urates or faeces in hold, or a wet box. Of species that take water up from moist soil the box is always
 * wet.
 */
export function urinatedReason(subject: Subject, heldFrom: Instant): Reason | null {
  const isDamp = subject.profile.mass?.gainIsUsual ?? false
  const passed = linesOf(subject.history, 'passed').filter(
    ({ note }) => note.urine || note.urates || note.faeces,
  )
  const wet = isDamp ? [] : weighInsOf(subject).filter(({ note }) => note.box === 'wet')
  const first = inOrder([...passed, ...wet]).find(({ at }) => at > heldFrom && at <= subject.now)
  if (first === undefined) return null
  const isWater = first.note.kind === 'weighed' || first.note.urine || first.note.urates
  const what =
    first.note.kind === 'weighed'
      ? say('Its box was wet, most likely with urine,')
      : isWater
        ? say('It passed urine')
        : say('It passed faeces')
  return {
    reason: 'urinated',
    at: first.at,
    isNow: true,
    sentence: say('{what} on {day}: wake it, let it drink, and ask a reptile vet.', {
      what,
      day: dayWords(localDate(first.at, subject.timeZone)),
    }),
    source: publications.forbes,
    evidence: isWater ? 'read' : 'commonPractice',
  }
}

export function activeReason(subject: Subject, heldFrom: Instant): Reason | null {
  const stirs = inOrder(linesOf(subject.history, 'active')).filter(
    ({ at }) => at >= heldFrom && at <= subject.now,
  )
  const again = stirs.find(({ at }) =>
    stirs.some((one) => at - one.at >= sameStirWithin && at - one.at <= restlessWithin),
  )
  const last = stirs.at(-1)
  const derived = {
    source: say('{forbes}; how often: derived', { forbes: publications.forbes }),
    evidence: 'derived',
  } as const
  if (again !== undefined)
    return {
      reason: 'active',
      at: again.at,
      isNow: true,
      sentence: say(
        'It moved or dug twice within three days: it is not resting. Look at the temperature and wake it.',
      ),
      ...derived,
    }
  if (last === undefined || subject.now - last.at > stirFades) return null
  return {
    reason: 'active',
    at: last.at,
    isNow: false,
    sentence: say('It moved or dug on {day}: look again tomorrow; if it stirs again, wake it.', {
      day: dayWords(localDate(last.at, subject.timeZone)),
    }),
    ...derived,
  }
}
