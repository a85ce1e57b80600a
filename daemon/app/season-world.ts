import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import type { Clock } from '../ports/clock.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Store } from '../ports/store.ts'
import type { DiaryStore } from '../ports/season.ts'
import type { House } from './house.ts'

/** Takes a changed household in, checked, with its line of the journal and those of the diary: all in one transaction. */
export type SaveHousehold = (
  next: Household,
  by: string,
  text: string,
  /** `changed` where nothing is said. */
  kind?: JournalEntry['kind'],
  about?: Partial<JournalEntry>,
  diary?: readonly DiaryLine[],
) => { readonly ok: true } | { readonly ok: false; readonly error: EditRefusal; readonly sentence: string }

/** What the winter's part of the desk works with. */
export interface SeasonWorld {
  readonly house: House
  readonly store: Store
  readonly diary: DiaryStore
  readonly clock: Clock
  readonly catalogue: ProfileOf
  readonly save: SaveHousehold
  readonly hasRung: () => boolean
}
