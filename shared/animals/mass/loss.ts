import type { Instant } from '../../../schemas/units.ts'
import { type StraightLine, straightLine } from '../straight-line.ts'
import type { Subject } from '../subject.ts'
import { stepOf, type WeighedLine, weighInsOf } from '../weigh-ins.ts'
import { gramsWords, percentWords } from './words.ts'
import { say, sayCount } from '../../words/say.ts'

/** Days of the month that the rules are told by. */
export const monthDays = 30

/** What it lost since entry; percentages of the mass on entry, a loss positive. */
export interface Loss {
  readonly entry: { readonly at: Instant; readonly grams: number }
  readonly last: { readonly at: Instant; readonly grams: number }
  /** Weigh-ins from entry on, entry included. */
  readonly lines: readonly WeighedLine[]
  readonly points: number
  readonly lostPercent: number
  readonly days: number
  readonly monthly: {
    readonly percent: number
    readonly low: number | null
    readonly high: number | null
  } | null
  /** The coarsest scale used, g. */
  readonly scaleStep: number
  /** `1000 g → 986 g: 1.4 % lost in 20 days.` */
  readonly words: string
}

export function lossOf(subject: Subject, entryLine: WeighedLine): Loss {
  const all = weighInsOf(subject)
  const lines = all.slice(all.findIndex(({ id }) => id === entryLine.id))
  const lastLine = lines.at(-1) ?? entryLine
  const entry = { at: entryLine.at, grams: entryLine.note.grams }
  const last = { at: lastLine.at, grams: lastLine.note.grams }
  const scaleStep = Math.max(...lines.map(stepOf))
  const days = (last.at - entry.at) / msPerDay
  const lostPercent = percentLost(entry.grams, last.grams)
  const line = straightLine(
    lines.map(({ at, note }) => ({ x: (at - entry.at) / msPerDay, y: percentLost(entry.grams, note.grams) })),
    (100 * scaleStep) / entry.grams,
  )
  const monthly = line === null ? null : inMonth(line)
  const points = lines.length
  return {
    entry,
    last,
    lines,
    points,
    lostPercent,
    days,
    monthly,
    scaleStep,
    words: wordsOf(entry.grams, last.grams, lostPercent, days),
  }
}

/**
 * Computed losses that differ from a limit by less than this are at it: far below any scale, far above rounding
 * of binary fractions.
 */
export const hair = 1e-9

const msPerDay = 86_400_000

const percentLost = (from: number, to: number): number => (100 * (from - to)) / from

const inMonth = ({ slope, interval }: StraightLine): NonNullable<Loss['monthly']> => ({
  percent: monthDays * slope,
  low: interval === null ? null : monthDays * interval.low,
  high: interval === null ? null : monthDays * interval.high,
})

function wordsOf(from: number, to: number, lostPercent: number, days: number): string {
  const whole = Math.round(days)
  const span = days < 1 ? say('less than a day #in') : sayCount(whole, '{n} day #in', '{n} days #in')
  const percent = percentWords(Math.abs(lostPercent))
  const change =
    lostPercent === 0
      ? say('unchanged')
      : lostPercent > 0
        ? say('{percent} lost', { percent })
        : say('{percent} gained', { percent })
  return say('{grams} on entry, {grams2} now: {change} in {span}.', {
    grams: gramsWords(from),
    grams2: gramsWords(to),
    change,
    span,
  })
}
