import { days, hours, later } from '../../../schemas/amounts.ts'
import type { WakeNow } from '../../../schemas/season.ts'
import type { LimitName } from '../../../schemas/band.ts'
import type { SourcedLimit } from '../../../schemas/species.ts'
import type { Instant } from '../../../schemas/units.ts'
import { durationWords, valueWords } from '../../telling/words.ts'
import { addDays, localDate } from '../../time/wall.ts'
import { countWords, dayWords } from '../day-words.ts'
import { planCapOf, type PlanCap } from '../plan-cap.ts'
import { noonOf } from '../plan-days.ts'
import { publications } from '../publications.ts'
import { figureOf, type Subject } from '../subject.ts'
import { say } from '../../words/say.ts'

export type Reason = WakeNow['reasons'][number]

/** So long ahead the end of a hold is told, to make room, lamp and bath ready. Derived. */
export const soonBefore = days(7)

/**
 * So long above the high critical limit without a break, cooling has failed and the hold is no rest any more.
 * Derived.
 */
const tooWarmFor = hours(24)

/** The longest hold for its species, age class and guidance (S3). */
export function capReason(subject: Subject, heldFrom: Instant): Reason | null {
  const cap = planCapOf(subject, 'wintered')
  if (cap === null) return null
  const at = noonOf(addDays(localDate(heldFrom, subject.timeZone), cap.days), subject.timeZone)
  if (subject.now < later(at, -soonBefore)) return null
  const isNow = subject.now >= at
  const most = `${countWords(cap.days, 'day')}, ${longest[cap.why]}`
  return {
    reason: 'cap',
    at,
    isNow,
    sentence: isNow
      ? say('It has been in hold for {most}: begin warming.', { most })
      : say('On {day} it will have been in hold for {most}.', {
          day: dayWords(localDate(at, subject.timeZone)),
          most,
        }),
    source: cap.figure.source,
    evidence: cap.figure.evidence,
  }
}

export function plannedReason({ now, timeZone }: Subject, endsAt: Instant | null): Reason | null {
  if (endsAt === null || now < later(endsAt, -soonBefore)) return null
  const isNow = now >= endsAt
  const date = dayWords(localDate(endsAt, timeZone))
  const sentence = isNow
    ? say('Its plan ends the cold on {date}: begin warming.', { date })
    : say('Its plan ends the cold on {date}.', { date })
  return { reason: 'planned', at: endsAt, isNow, sentence, source: null, evidence: null }
}

/** One event at or below the low critical limit ends the hold: eyes, brain and limbs may be harmed. */
export function tooColdReason(subject: Subject, at: Instant | null): Reason | null {
  if (at === null) return null
  const limit = holdLimit(subject, 'lowCritical')
  const low =
    limit === undefined
      ? say('its low critical limit')
      : valueWords('temperature', figureOf(limit, subject.guidance))
  return {
    reason: 'tooCold',
    at,
    isNow: true,
    sentence: say(
      'It was at or below {low} on {day}: warm it slowly, over hours, and let a reptile vet look at its eyes.',
      { low, day: dayWords(localDate(at, subject.timeZone)) },
    ),
    source: limit?.source ?? publications.derived,
    evidence: limit?.evidence ?? 'derived',
  }
}

export function tooWarmReason(subject: Subject, since: Instant | null): Reason | null {
  if (since === null) return null
  const limit = holdLimit(subject, 'highCritical')
  const high =
    limit === undefined
      ? say('its high critical limit')
      : valueWords('temperature', figureOf(limit, subject.guidance))
  const lasted = Math.max(0, subject.now - since)
  const isNow = lasted >= tooWarmFor
  return {
    reason: 'tooWarm',
    at: since,
    isNow,
    sentence: isNow
      ? say('It has been above {high} for {duration} without a break: cool it again today or wake it.', {
          high,
          duration: durationWords(lasted),
        })
      : say(
          'It has been above {high} for {duration}: get it cool again; after {duration2} it is better woken.',
          { high, duration: durationWords(lasted), duration2: durationWords(tooWarmFor) },
        ),
    source: say('{derived}; the limit: {part}', {
      derived: publications.derived,
      part: limit?.source ?? say('not known'),
    }),
    evidence: 'derived',
  }
}

const longest: Readonly<Record<PlanCap['why'], string>> = {
  first: say('the longest first hold'),
  young: say('the longest hold of a young animal'),
  adult: say('its longest hold'),
}

const holdLimit = ({ profile }: Subject, name: LimitName): SourcedLimit | undefined =>
  profile.hold?.temperature.find(({ limit }) => limit === name)
