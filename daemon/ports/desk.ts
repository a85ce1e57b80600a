import type { LiveEvent } from '../../schemas/api.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { AlarmDesk } from './alarms.ts'
import type { HouseholdDesk } from './household.ts'
import type { ImportDesk } from './imports.ts'
import type { KeepingDesk } from './keeping.ts'
import type { MetricsDesk } from './metrics.ts'
import type { Outcome } from './outcome.ts'
import type { PlaceDesk } from './places.ts'
import type { ReportDesk } from './reports.ts'
import type { DiaryDesk, SeasonDesk } from './season.ts'
import type { SensorDesk } from './sensors.ts'
import type { TellingDesk } from './telling.ts'
import type { WhatIfDesk } from './what-if.ts'

/** Use cases behind the API. `by` is the signed-in person's name; every act is journalled with it. */
export interface Desk
  extends HouseholdDesk,
    SensorDesk,
    PlaceDesk,
    AlarmDesk,
    TellingDesk,
    KeepingDesk,
    DiaryDesk,
    SeasonDesk,
    ReportDesk,
    WhatIfDesk,
    ImportDesk,
    MetricsDesk {
  /** Notes what the doors did: signed in, failed, set up. */
  note(entry: JournalEntry): void
  /** Calls `listener` for everything that happens, after it is committed (values: as they come). Returns the way out. */
  subscribe(listener: (event: LiveEvent) => void): () => void

  /** The invented household: whether it is running, may be started (only where nothing is set up), and its switch. */
  practice(): { readonly running: boolean; readonly offered: boolean }
  /** Resolves once the change is under way; the daemon then restarts into the other household. */
  switchPractice(on: boolean, by: string): Outcome<null, 'notOffered'>
}
