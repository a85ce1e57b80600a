import type { Alarm } from '../../schemas/alarm.ts'
import type { Bands, Limit } from '../../schemas/band.ts'
import type { AlarmId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Quality, Reading } from '../../schemas/reading.ts'
import type { Stage } from '../../schemas/stage.ts'
import type { Instant } from '../../schemas/units.ts'
import type { QualityState } from '../sensing/quality.ts'
import type { BandConflict } from './band.ts'
import type { Layout } from './layout.ts'
import type { JudgedState } from './guarded-limit.ts'
import type { LimitState } from './limit.ts'
import type { ThermalWatch } from './thermal-state.ts'

/** One quantity of one sensor. `limits` follow the order lowCritical, low, high, highCritical. */
export interface SeriesWatch {
  /** The newest reading, believed or not. */
  readonly last: {
    readonly at: Instant
    readonly value: number
    readonly quality: Quality
    /** Our clock when it came: tells a sensor that has a clock of its own, should ours be set (N3). */
    readonly heardAt?: Instant
  }
  /** The newest believed reading: the value that holds. */
  readonly good: { readonly at: Instant; readonly value: number } | null
  readonly history: QualityState
  /** The held value is too old to judge by; said once, until a believed reading comes. */
  readonly stale: boolean
  readonly limits: readonly JudgedState[]
  /** What its curve says, where it is read (L11, L12). */
  readonly thermal?: ThermalWatch
}

export interface SensorWatch {
  readonly id: SensorId
  readonly place: PlaceId | null
  /** When this sensor was first expected. */
  readonly since: Instant
  readonly heardAt: Instant | null
  readonly silent: boolean
  readonly series: { readonly [quantity in Quantity]?: SeriesWatch }
  /** From a retained message without its own time: last known, age unknown (L6). */
  readonly lastKnown: { readonly [quantity in Quantity]?: number }
  /** Readings stamped ahead of the clock since then (L5). */
  readonly clockAhead: { readonly since: Instant; readonly byMs: number } | null
  /** How empty its battery is; absent where none was ever heard of. */
  readonly battery?: LimitState
}

/** The band in force in one place and, where it can change, until when. */
export interface PlaceRules {
  readonly bands: Bands
  readonly limits: { readonly [quantity in Quantity]?: readonly (Limit | null)[] }
  readonly until: Instant | null
  readonly conflict: BandConflict | null
  /** The near-freezing limit of the animals here, °C: each sensor is judged by it with its own uncertainty (L9). */
  readonly guarded: number | null
}

export interface PlaceWatch {
  readonly id: PlaceId
  readonly rules: PlaceRules
  /** Since when animals here have had no working sensor; null while they have one. */
  readonly unwatchedSince: Instant | null
  /** Whether a working sensor has ever watched this place: setting up takes a while, losing one does not. */
  readonly wasWatched: boolean
  /** How far the thermometers of one spot here lie apart; absent where there are no two. */
  readonly apart?: { readonly [spot in Sensor['spot']]?: LimitState }
}

/** One stage of the daemon as it last reported itself (N1). */
export interface StageWatch {
  readonly isWell: boolean
  readonly reportedAt: Instant
  /** Out from the first report that it is not well until it has been well for a while; `since` when that last changed. */
  readonly isOut: boolean
  readonly since: Instant
  readonly isRaised: boolean
  readonly text: string
}

export interface Tending {
  readonly place: PlaceId
  readonly until: Instant
  readonly by: string
}

/** Everything the judge remembers. Plain data but for `layout`, which is worked out from the household. */
export interface WatchState {
  readonly layout: Layout
  /** How far time has been judged. */
  readonly at: Instant
  /** Since when this daemon has been listening without a break: its own downtime is nobody's silence (L7). */
  readonly listeningSince: Instant
  readonly sensors: readonly SensorWatch[]
  readonly places: readonly PlaceWatch[]
  readonly alarms: ReadonlyMap<AlarmId, Alarm>
  readonly tendings: readonly Tending[]
  readonly stages: { readonly [stage in Stage]?: StageWatch }
}

/** What one step asks of the world. */
export type WatchEffect =
  | { readonly kind: 'store'; readonly reading: Reading; readonly quality: Quality; readonly late: boolean }
  | { readonly kind: 'setAside'; readonly reading: Reading }
  | { readonly kind: 'journal'; readonly entry: JournalEntry }
  | { readonly kind: 'alarm'; readonly alarm: Alarm }
  | {
      readonly kind: 'tell'
      readonly alarm: Alarm
      readonly why: 'raised' | 'returned'
      readonly at: Instant
    }

export type WatchStep = readonly [state: WatchState, effects: readonly WatchEffect[]]
