import type { ReportAlarm } from '../../schemas/animal-report.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { journalSentence } from '../../shared/telling/journal-words.ts'
import type { Names } from '../../shared/telling/alarm-words.ts'
import type { Store } from '../ports/store.ts'

/** A winter's worst places raised some hundreds; more than this are counted from the newest (X3). */
const mostLines = 20_000
const kinds = ['raised', 'returned', 'acknowledged'] as const

/** Alarms of these places in a stretch, oldest first: each raising with its end and its first answer. */
export function alarmsIn(
  store: Store,
  places: readonly PlaceId[],
  stretch: { readonly from: Instant; readonly to: Instant },
  names: Names,
): readonly ReportAlarm[] {
  const lines = store.journal({ ...stretch, limit: mostLines, places, kinds: [...kinds] }).toReversed()
  return lines.flatMap((line, i): ReportAlarm[] => {
    if (line.kind !== 'raised' || line.alarm === undefined) return []
    const after = lines.slice(i + 1).filter(({ alarm }) => alarm === line.alarm)
    const again = after.findIndex(({ kind }) => kind === 'raised')
    const own = again < 0 ? after : after.slice(0, again)
    const answer = own.find(({ kind }) => kind === 'acknowledged')
    return [
      {
        at: line.at,
        priority: line.priority ?? null,
        sentence: journalSentence(line, names),
        until: own.find(({ kind }) => kind === 'returned')?.at ?? null,
        answeredBy: answer?.by ?? null,
        answeredAt: answer?.at ?? null,
      },
    ]
  })
}
