import type { DiaryEntry } from '../../schemas/diary.ts'
import type { Instant } from '../../schemas/units.ts'

/** What a table is read against. */
export interface TableWorld {
  readonly timeZone: string
  readonly now: Instant
  readonly animals: readonly { readonly id: string; readonly name: string }[]
  readonly places: readonly { readonly id: string; readonly name: string }[]
}

export interface TableEntry {
  readonly line: number
  readonly entry: DiaryEntry
}
