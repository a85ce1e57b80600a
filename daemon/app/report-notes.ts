import { later } from '../../schemas/amounts.ts'
import type { AnimalReport } from '../../schemas/animal-report.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Instant } from '../../schemas/units.ts'
import { noteWords } from '../../shared/diary/note-words.ts'
import { sayCount } from '../../shared/words/say.ts'

/** Weigh-ins so long before and after the cold belong to its story: the feeding up and the first weeks awake. */
export const beforeMs = 60 * 86_400_000
export const afterMs = 30 * 86_400_000

/** Baths come every other day: on paper they are counted. A text of their own is told. */
export function notesOf(
  history: readonly DiaryLine[],
  { from, to }: { readonly from: Instant; readonly to: Instant },
): AnimalReport['notes'] {
  const told = history.filter(({ at }) => at >= later(from, -beforeMs) && at <= later(to, afterMs))
  const isCounted = ({ note, text = '' }: DiaryLine): boolean => note.kind === 'bathed' && text === ''
  const baths = told.filter(isCounted)
  const last = baths.at(-1)
  const counted =
    last === undefined
      ? []
      : [
          {
            at: last.at,
            by: last.by,
            sentence: sayCount(baths.length, 'Bathed', 'Bathed {n} times, the last on this day'),
          },
        ]
  const others = told
    .filter((line) => line.note.kind !== 'weighed' && line.note.kind !== 'looked' && !isCounted(line))
    .map(({ at, by, note, text }) => ({
      at,
      by,
      sentence: text === undefined || text === '' ? noteWords(note) : `${noteWords(note)}. ${text}`,
    }))
  return [...others, ...counted].toSorted((one, other) => one.at - other.at)
}
