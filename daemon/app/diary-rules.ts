import type { LiveEvent } from '../../schemas/api.ts'
import type { DiaryEntry } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Clock } from '../ports/clock.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { DiaryRefusal, DiaryStore } from '../ports/season.ts'
import { say } from '../../shared/words/say.ts'

export interface DiaryWorld {
  readonly household: () => Household
  readonly diary: DiaryStore
  readonly clock: Clock
  readonly note: (entry: JournalEntry) => void
  readonly publish: (event: LiveEvent) => void
}

export type Refusal = Extract<Outcome<never, DiaryRefusal>, { ok: false }>

export const refusal = (error: DiaryRefusal, sentence: string): Refusal => ({ ok: false, error, sentence })

/**
 * Rows of one animal or place, corrections and removals among them (X3): ten a day for five years, or one a day for
 * a tortoise's fifty.
 */
export const mostRows = 20_000

export const tooMany = (name: string): Refusal =>
  refusal(
    'tooMany',
    say('The diary of {name} is full: it holds {mostRows} entries and changes.', { name, mostRows }),
  )

/** Past winters are read from these, which Brumal writes as they happen. */
export const isOwn = ({ note }: DiaryEntry): boolean =>
  note.kind === 'coolingBegan' || note.kind === 'warmingBegan'
