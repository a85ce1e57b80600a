import BetterSqlite, { type Database } from 'better-sqlite3'
import { openDiary } from '../../daemon/app/diary.ts'
import type { DiaryDesk, DiaryStore } from '../../daemon/ports/season.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'
import { later, millis } from '../../schemas/amounts.ts'
import type { LiveEvent } from '../../schemas/api.ts'
import { DiaryEntry, type ImportedDiary } from '../../schemas/diary.ts'
import { Household } from '../../schemas/household.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'

/** The diary over a database in memory, with a clock that stands still until it is moved. */
export interface DiaryWorldForTest {
  readonly desk: DiaryDesk
  readonly store: DiaryStore
  readonly db: Database
  readonly journal: readonly JournalEntry[]
  readonly told: readonly LiveEvent[]
  now(): Instant
  move(ms: number): void
  rehouse(change: (household: Household) => Household): void
}

export const noon = Date.UTC(2026, 10, 12, 11) as Instant

export function diaryWorld(): DiaryWorldForTest {
  const db = new BetterSqlite(':memory:')
  for (const migration of migrations) db.exec(migration)
  const store = sqliteDiary(db)
  const [journal, told]: [JournalEntry[], LiveEvent[]] = [[], []]
  let now = noon
  let household = Household.parse({
    version: 1,
    name: 'The house by the mill',
    timeZone: 'Europe/Vienna',
    places: [{ id: 'box-1', name: 'Lower box', kind: 'box', parent: null }],
    animals: [
      { id: 'pebble', name: 'Pebble', species: 'testudo-hermanni', place: 'box-1', mode: 'goesDown' },
      { id: 'moss', name: 'Moss', species: 'testudo-hermanni', place: null, mode: 'staysAwake' },
    ],
  })
  const desk = openDiary({
    household: () => household,
    diary: store,
    clock: { now: () => now, uptime: () => millis(0) },
    note: (entry) => void journal.push(entry),
    publish: (event) => void told.push(event),
  })
  return {
    desk,
    store,
    db,
    journal,
    told,
    now: () => now,
    move: (ms) => {
      now = later(now, ms)
    },
    rehouse: (change) => {
      household = change(household)
    },
  }
}

/** An entry of Pebble an hour ago, but for what is given. */
export const entryOf = (given: Readonly<Record<string, unknown>> = {}): DiaryEntry =>
  DiaryEntry.parse({
    id: 'first',
    at: noon - 3_600_000,
    ...('place' in given ? {} : { animal: 'pebble' }),
    note: { kind: 'weighed', grams: 812 },
    ...given,
  })

/** From here on the disk takes nothing more, as SQLite itself says it. */
export function fillUp(db: Database): void {
  db.pragma(`max_page_count = ${Number(db.pragma('page_count', { simple: true }))}`)
}

/** What a table brings; throws where it is refused as a whole. */
export function bringTable(world: DiaryWorldForTest, csv: string, isTrial = false): ImportedDiary {
  const outcome = world.desk.importDiary(csv, isTrial, 'Ada')
  if (!outcome.ok) throw new Error(outcome.sentence)
  return outcome.value
}
