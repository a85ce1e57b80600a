import type { Instant } from '../../schemas/units.ts'
import { type LineOf, linesOf, type Subject } from './subject.ts'

export type WeighedLine = LineOf<'weighed'>

/** Its weigh-ins up to now, oldest first, in whatever order they came. */
export const weighInsOf = ({ history, now }: Pick<Subject, 'history' | 'now'>): readonly WeighedLine[] =>
  inOrder(linesOf(history, 'weighed')).filter(({ at }) => at <= now)

/** By their own time; two of one instant by when they were written down. */
export const inOrder = <
  Line extends { readonly at: Instant; readonly notedAt: Instant; readonly id: string },
>(
  lines: readonly Line[],
): readonly Line[] => lines.toSorted((a, b) => a.at - b.at || a.notedAt - b.notedAt || (a.id < b.id ? -1 : 1))

/** The scale's step, g; where it is not noted, whole grams were most likely read off a scale that shows no more. */
export const stepOf = ({ note }: WeighedLine): number =>
  note.scaleStep ?? (Number.isInteger(note.grams) ? 1 : 0.1)
