import { days } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import { localDate } from '../../time/wall.ts'
import { dayWords } from '../day-words.ts'
import { isYoung } from '../age.ts'
import { type LineOf, linesOf, type Subject } from '../subject.ts'
import { inOrder, weighInsOf } from '../weigh-ins.ts'
import { say } from '../../words/say.ts'

/** A length of a grown animal counts for a year, of a young one for three months: it outgrows it. Derived. */
export const lengthCountsFor = { grown: days(365), young: days(91) } as const
/** A mass or a score counts for so long. Derived: two monthly weigh-ins. */
const stateCountsFor = days(60)
/** So long before a weigh-in a bath or a void still shows in it. Derived. */
const waterShowsFor = days(1)

export type Side = 'length' | 'width' | 'height'

/** A value, or the sentence that says why there is none that counts. */
export type Input =
  | { readonly ok: true; readonly value: number; readonly at: Instant }
  | { readonly ok: false; readonly sentence: string }

export function massInput(subject: Subject): Input {
  const last = weighInsOf(subject).at(-1)
  if (last === undefined) return { ok: false, sentence: say('It has not been weighed.') }
  if (subject.now - last.at > stateCountsFor)
    return {
      ok: false,
      sentence: say('Last weighed on {dated}: weigh it again.', { dated: dated(subject, last.at) }),
    }
  return { ok: true, value: last.note.grams, at: last.at }
}

function sideWord(side: Side): string {
  const words: Record<Side, string> = { length: say('length'), width: say('width'), height: say('height') }
  return words[side]
}

/** Each side from the newest measurement that has it. */
export function sideInput(subject: Subject, side: Side): Input {
  const last = inOrder(linesOf(subject.history, 'measured')).findLast(
    ({ at, note }) => at <= subject.now && note[side] !== undefined,
  )
  const value = last?.note[side]
  if (last === undefined || value === undefined)
    return { ok: false, sentence: say('Its {side} has not been measured.', { side: sideWord(side) }) }
  const counts = isYoung(subject) ? lengthCountsFor.young : lengthCountsFor.grown
  if (subject.now - last.at > counts)
    return {
      ok: false,
      sentence: say('Its {side} is from {dated}: measure it again.', {
        side: sideWord(side),
        dated: dated(subject, last.at),
      }),
    }
  return { ok: true, value, at: last.at }
}

export function scoreInput(subject: Subject, scale: 'visualFive' | 'visualNine'): Input {
  const last = inOrder(linesOf(subject.history, 'scored')).findLast(
    ({ at, note }) => at <= subject.now && note.scale === scale,
  )
  if (last === undefined) return { ok: false, sentence: say('It has not been scored by eye and touch.') }
  if (subject.now - last.at > stateCountsFor)
    return {
      ok: false,
      sentence: say('Last scored on {dated}: score it again.', { dated: dated(subject, last.at) }),
    }
  return { ok: true, value: last.note.score, at: last.at }
}

/** What of a weigh-in may be water: a bath, a drink or a void on the day before it. */
export function waterRemark({ history }: Subject, weighedAt: Instant): string | null {
  const isJustBefore = ({ at }: { readonly at: Instant }): boolean =>
    at <= weighedAt && weighedAt - at <= waterShowsFor
  const emptied = linesOf(history, 'passed').some(
    (line: LineOf<'passed'>) => line.note.urine && isJustBefore(line),
  )
  if (emptied) return say('It had passed urine shortly before: an emptied bladder is 50 g for 50 ml.')
  const filled = [...linesOf(history, 'bathed'), ...linesOf(history, 'drank')].some(isJustBefore)
  return filled ? say('It had bathed or drunk shortly before: 50 ml of water are 50 g.') : null
}

/** `3 November 2025`: it may be of another year. */
function dated({ timeZone }: Subject, at: Instant): string {
  const date = localDate(at, timeZone)
  return say('{day} {year}', { day: dayWords(date), year: date.slice(0, 4) })
}
