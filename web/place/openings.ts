import type { JournalLine } from '../../schemas/api.ts'
import { openingsOnce } from '../../shared/thermal/door-contact.ts'
import type { Opening } from '../words/thermal-words.ts'

/** How far back openings of a door are listed, in ms: two weeks show whether it is aired as planned. */
export const openingsSinceMs = 14 * 86_400_000

/** Openings of the doors of `places` since `since`, newest first, each once. */
export function openingsIn(
  lines: readonly JournalLine[],
  places: ReadonlySet<string>,
  since: number,
): Opening[] {
  const found = lines.filter(
    (line) =>
      line.kind === 'doorOpened' && line.at >= since && line.place !== undefined && places.has(line.place),
  )
  return openingsOnce(found).sort((a, b) => b.at - a.at)
}
