import type { GateItem } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, daysBetween, localDate } from '../time/wall.ts'
import { countWords, dayWords } from './day-words.ts'
import { gateItem } from './gate-item.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'

/** The gut is empty: no food for the profile's weeks, and warm meanwhile as far as anything measured it. */
export function gutItem(subject: Subject, celsius: number | null): GateItem {
  const { history, now, timeZone, guidance, profile } = subject
  const figure = profile.season?.fastWeeks
  if (figure === undefined) return gateItem('gut', 'missing', 'How long it must fast is not known.')
  const last = linesOf(history, 'fed').findLast(({ at, note }) => at <= now && note.eaten !== 'none')
  if (last === undefined)
    return gateItem('gut', 'missing', 'Say when it last ate: no meal of it is noted.', figure)
  const needed = Math.ceil(figureOf(figure, guidance) * 7 - 1e-9)
  // By the calendar, as the plan reckons it: whoever fed it in the evening need not wait for the evening.
  const ateOn = localDate(last.at, timeZone)
  const fasted = daysBetween(ateOn, localDate(now, timeZone))
  const since = `Last ate on ${dayWords(ateOn)}`
  if (fasted < needed)
    return gateItem(
      'gut',
      'missing',
      `${since}: ${countWords(fasted, 'day')} of ${needed} without food, enough from ${dayWords(addDays(ateOn, needed))}.`,
      figure,
    )
  const warm = profile.season?.fastWarm
  if (warm !== undefined && celsius !== null && celsius < figureOf(warm, guidance))
    return gateItem(
      'gut',
      'missing',
      `Its place was at ${celsius.toFixed(1)} °C in the mean since it last ate; below ${figureOf(warm, guidance)} °C the gut does not empty.`,
      warm,
    )
  const unmeasured =
    warm !== undefined && celsius === null ? ' Nothing measured how warm it was meanwhile.' : ''
  return gateItem(
    'gut',
    'met',
    `${since}, which is long enough ago.${passedWords(subject, last.at)}${unmeasured}`,
    figure,
  )
}

function passedWords({ history, now, timeZone }: Subject, since: Instant): string {
  const last = linesOf(history, 'passed').findLast(({ at, note }) => note.faeces && at > since && at <= now)
  return last === undefined
    ? ' No faeces are noted since.'
    : ` Last faeces on ${dayWords(localDate(last.at, timeZone))}.`
}
