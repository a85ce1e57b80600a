import type { Alarm } from '../../schemas/alarm.ts'
import type { BrokerState, PlaceNow } from '../../schemas/api.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { KeepingNow } from '../../schemas/keeping.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Refusal } from '../../schemas/source.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/** The newest value of one quantity of one sensor that is believed. */
interface BelievedNow {
  readonly quantity: Quantity
  readonly value: number
  readonly at: Instant
  /** False after two missed intervals, and while something newer is doubted. */
  readonly isFresh: boolean
}

export interface SensorFacts {
  readonly id: SensorId
  readonly name: string
  readonly place: PlaceId | null
  readonly values: readonly BelievedNow[]
}

/** What has become of readings and messages since the start; never counts down. */
export interface ReadingCounts {
  /** Put into the database. */
  readonly stored: number
  /** Taken to be stored, and not believed. */
  readonly doubted: number
  /** Older than the newest of their sensor. */
  readonly late: number
  /** Stamped ahead of the clock, and set aside. */
  readonly setAside: number
  /** Of an instant that was known already. */
  readonly repeated: number
  readonly messages: number
  readonly refused: Readonly<Partial<Record<Refusal, number>>>
}

/** Everything that is measured, gathered at one instant. */
export interface MetricFacts {
  readonly now: Instant
  readonly isPractice: boolean
  readonly sensors: readonly SensorFacts[]
  readonly places: readonly PlaceNow[]
  readonly alarms: readonly Alarm[]
  readonly readings: ReadingCounts
  readonly outbox: { readonly waiting: number; readonly oldest: Instant | null }
  readonly broker: BrokerState['name']
  readonly keeping: KeepingNow
  readonly program: {
    readonly startedAt: Instant
    /** The longest of the last minute or two. */
    readonly loopLag: Millis
    readonly version: string
    readonly node: string
  }
}
