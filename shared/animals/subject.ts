import type { Animal } from '../../schemas/animal.ts'
import type { DiaryKind, DiaryLine, NoteOf } from '../../schemas/diary.ts'
import type { Figure, Guidance, SpeciesProfile } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'

/** One animal with all that is known of it, at an instant: what every judgement of it starts from. */
export interface Subject {
  readonly animal: Animal
  readonly profile: SpeciesProfile
  readonly guidance: Guidance
  /** Its diary as it stands, oldest first. */
  readonly history: readonly DiaryLine[]
  readonly now: Instant
  /** IANA name, of the house. */
  readonly timeZone: string
}

export type LineOf<Kind extends DiaryKind> = DiaryLine & { readonly note: NoteOf<Kind> }

/** The entries of one kind, oldest first. */
export const linesOf = <Kind extends DiaryKind>(
  history: readonly DiaryLine[],
  kind: Kind,
): readonly LineOf<Kind>[] => history.filter((line): line is LineOf<Kind> => line.note.kind === kind)

/** The newest entry of a kind at or before `at`. */
export const lastOf = <Kind extends DiaryKind>(
  history: readonly DiaryLine[],
  kind: Kind,
  at: Instant,
): LineOf<Kind> | undefined => linesOf(history, kind).findLast((line) => line.at <= at)

/** The figure by the guidance that the keeper chose. */
export const figureOf = ({ value, lenient }: Figure, guidance: Guidance): number =>
  guidance === 'lenient' ? (lenient ?? value) : value

/** When it was last put into the cold, by the diary; null where it never was. */
export const wentDownAt = ({ history, now }: Subject): Instant | null =>
  lastOf(history, 'coolingBegan', now)?.at ?? null

/** When it was last woken, by the diary; null where it was not since it went down. */
export function wokenAt(subject: Subject): Instant | null {
  const down = wentDownAt(subject)
  const woken = lastOf(subject.history, 'warmingBegan', subject.now)?.at ?? null
  return woken !== null && (down === null || woken >= down) ? woken : null
}
