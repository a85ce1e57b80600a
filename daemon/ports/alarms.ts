import type { Alarm } from '../../schemas/alarm.ts'
import type { AlarmsNow, JournalLine, PlaceNow } from '../../schemas/api.ts'
import type { AlarmId, PlaceId } from '../../schemas/ids.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Outcome } from './outcome.ts'

export type AlarmRefusal = 'noSuchAlarm' | 'earlierOccurrence' | 'notNow' | 'tooLong'

/** Alarms and what became of them. */
export interface AlarmDesk {
  alarms(): AlarmsNow
  journal(query: {
    readonly before?: number
    readonly limit: number
    readonly from?: Instant
    readonly alarmsOnly?: boolean
    readonly places?: readonly PlaceId[]
    readonly kinds?: readonly JournalKind[]
  }): readonly JournalLine[]

  /** `occurrence` guards against answering a later raising than the one seen; a second answer changes nothing. */
  acknowledge(alarm: AlarmId, occurrence: number, by: string): Outcome<Alarm, AlarmRefusal>
  /** At most 8 h, 1 h for high priority (A2). */
  shelve(alarm: AlarmId, lasts: Millis, reason: string, by: string): Outcome<Alarm, AlarmRefusal>
  unshelve(alarm: AlarmId, by: string): Outcome<Alarm, AlarmRefusal>
  takeOutOfService(alarm: AlarmId, reason: string, by: string): Outcome<Alarm, AlarmRefusal>
  returnToService(alarm: AlarmId, by: string): Outcome<Alarm, AlarmRefusal>
  /** "I am opening this": at most 30 min (A3); zero ends it. */
  tend(place: PlaceId, lasts: Millis, by: string): Outcome<PlaceNow, 'noSuchPlace' | 'tooLong'>
}
