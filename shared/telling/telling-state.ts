import type { Alarm } from '../../schemas/alarm.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { MessageKind } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import type { RaiseLog } from './raise-log.ts'

/** What has been said about one raising of one alarm. */
export interface Told {
  readonly alarm: Alarm
  /** When people were first to know: the raising, or the end of a flood that had folded it. */
  readonly since: Instant
  /** Contacts told so far, in order. */
  readonly contacts: readonly ContactId[]
  readonly lastAt: Instant
  readonly repeats: number
  /** Somebody acknowledged it: nobody is rung again, and those who were told hear of its end. */
  readonly isAnswered: boolean
}

/** Everything that telling remembers. Plain data. */
export interface TellingState {
  readonly told: { readonly [alarm in AlarmId]?: Told }
  /** Low alarms since the last morning. */
  readonly low: readonly { readonly alarm: Alarm; readonly at: Instant }[]
  readonly raises: RaiseLog
  /** A flood in progress (A5), and when it was last told. */
  readonly flood: {
    readonly since: Instant
    readonly lastAt: Instant
    readonly contacts: readonly ContactId[]
  } | null
  /** Alarms found chattering, and when. */
  readonly chattering: { readonly [alarm in AlarmId]?: Instant }
  /** The morning whose tasks were told last. Absent: none yet, and the first one seen is only noted. */
  readonly listedFor?: Instant
}

export const nothingTold: TellingState = {
  told: {},
  low: [],
  raises: [],
  flood: null,
  chattering: {},
}

/** Say this to that contact by every channel it has. `alarms` has one for most kinds, several for floods and summaries. */
export interface Say {
  readonly what: MessageKind
  readonly contact: ContactId
  readonly alarms: readonly Alarm[]
  /** Of a summary: what is to be done today. */
  readonly tasks?: readonly string[]
  readonly at: Instant
}

/** What telling remembers after one step, and what is to be said. */
export type TellingStep = readonly [state: TellingState, says: readonly Say[]]
