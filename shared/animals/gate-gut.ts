import type { GateItem } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, daysBetween, localDate } from '../time/wall.ts'
import { countWords, dayWords } from './day-words.ts'
import { gateItem } from './gate-item.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** The gut is empty: no food for the profile's weeks, and warm meanwhile as far as anything measured it. */
export function gutItem(subject: Subject, celsius: number | null): GateItem {
  const { history, now, timeZone, guidance, profile } = subject
  const figure = profile.season?.fastWeeks
  if (figure === undefined) return gateItem('gut', 'missing', say('How long it must fast is not known.'))
  const last = linesOf(history, 'fed').findLast(({ at, note }) => at <= now && note.eaten !== 'none')
  if (last === undefined)
    return gateItem('gut', 'missing', say('Say when it last ate: no meal of it is noted.'), figure)
  const needed = fastDays(figureOf(figure, guidance))
  const ateOn = localDate(last.at, timeZone)
  const fasted = fastedDays(subject, last.at)
  const since = say('Last ate on {day}', { day: dayWords(ateOn) })
  if (fasted < needed)
    return gateItem(
      'gut',
      'missing',
      say('{since}: {count} of {needed} without food, enough from {day}.', {
        since,
        count: countWords(fasted, 'day'),
        needed,
        day: dayWords(addDays(ateOn, needed)),
      }),
      figure,
    )
  const warm = profile.season?.fastWarm
  if (warm !== undefined && celsius !== null && celsius < figureOf(warm, guidance))
    return gateItem(
      'gut',
      'missing',
      say(
        'Its place was at {celsius} °C in the mean since it last ate; below {figure} °C the gut does not empty.',
        { celsius: inReadersDigits(celsius.toFixed(1)), figure: figureOf(warm, guidance) },
      ),
      warm,
    )
  const unmeasured =
    warm !== undefined && celsius === null ? say(' Nothing measured how warm it was meanwhile.') : ''
  return gateItem(
    'gut',
    'met',
    say('{since}, which is long enough ago.{passed}{unmeasured}', {
      since,
      passed: passedWords(subject, last.at),
      unmeasured,
    }),
    figure,
  )
}

/** Whether a meal at that instant is not yet so long ago as the profile wants; no where it wants nothing. */
export function isWithinFast(subject: Subject, ateAt: Instant): boolean {
  const figure = subject.profile.season?.fastWeeks
  return figure !== undefined && fastedDays(subject, ateAt) < fastDays(figureOf(figure, subject.guidance))
}

const fastDays = (weeks: number): number => Math.ceil(weeks * 7 - 1e-9)

/** By the calendar, as the plan reckons it: whoever fed it in the evening need not wait for the evening. */
const fastedDays = ({ now, timeZone }: Subject, ateAt: Instant): number =>
  daysBetween(localDate(ateAt, timeZone), localDate(now, timeZone))

function passedWords({ history, now, timeZone }: Subject, since: Instant): string {
  const last = linesOf(history, 'passed').findLast(({ at, note }) => note.faeces && at > since && at <= now)
  return last === undefined
    ? say(' No faeces are noted since.')
    : say(' Last faeces on {day}.', { day: dayWords(localDate(last.at, timeZone)) })
}
