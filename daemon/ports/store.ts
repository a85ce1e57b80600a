import type { Columns, JournalLine } from '../../schemas/api.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { JournalEntry, JournalKind } from '../../schemas/journal.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality, Reading } from '../../schemas/reading.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { ImportStore } from './imports.ts'
import type { ZoneTimes, ZonesOf } from './zones.ts'

/** A reading with what is believed of it. */
export interface JudgedReading extends Reading {
  readonly quality: Quality
}

/** The watch's state as text, kept in the same transaction as what led to it. */
export type Snapshot = string

/** Everything that one commit holds. Absent parts are left as they are. */
export interface Batch {
  readonly readings: readonly JudgedReading[]
  readonly journal: readonly JournalEntry[]
  readonly snapshot?: Snapshot
  readonly household?: Household
  /** Acts that the diary keeps, in the same transaction as what they changed. */
  readonly diary?: readonly DiaryLine[]
  /** Messages to go out, kept in the same transaction as the alarm that they are about. */
  readonly parcels?: readonly Parcel[]
}

/** Summary of the good readings of a stretch. */
export interface Summary {
  readonly readings: number
  readonly min: number | null
  readonly max: number | null
  readonly mean: number | null
  readonly zones: ZoneTimes
}

/** What thinning took away: single readings of hours whose summary stays. */
export interface ThinResult {
  readonly hours: number
  readonly readings: number
  /** Of readings as they were stored. The file keeps the room for new ones. */
  readonly bytes: number
}

/** How much there is in the store. */
export interface StoreSize {
  /** Of the file, and of the parts of it that hold something. */
  readonly fileBytes: number
  readonly usedBytes: number
  /** Start of the oldest hour of which every reading is kept; null where nothing is. */
  readonly everyReadingFrom: Instant | null
  /** Start of the oldest hour of which only the summary is kept; null where none is. */
  readonly hourlyFrom: Instant | null
}

export interface FoldResult {
  readonly blocks: number
  readonly readings: number
  readonly late: number
}

/** Where everything is kept. Synchronous: a call that returns has happened; a call that throws has not. */
export interface Store extends ImportStore {
  /** One transaction. Repeats of (sensor, quantity, at) are stored once. Returns the journal lines with their ids. */
  commit(batch: Batch): readonly JournalLine[]
  household(): Household | null
  /** The last snapshot and, in order of arrival, every reading committed after it. */
  resume(): { readonly snapshot: Snapshot | null; readonly since: readonly JudgedReading[] }
  /**
   * Moves readings of hours that ended before `closedBefore` into blocks, merging late ones, and keeps `snapshot` in
   * the same transaction.
   */
  fold(closedBefore: Instant, zonesOf: ZonesOf, snapshot: Snapshot): FoldResult
  /** How many readings still wait for the fold. */
  unfolded(): number

  /** Takes the single readings out of at most `atMost` hour blocks that ended before `before`, oldest first. */
  thin(before: Instant, atMost: number): ThinResult
  size(): StoreSize

  /** Every reading from `from` (included) to `to` (left out), oldest first, bad ones too. */
  readings(sensor: SensorId, quantity: Quantity, from: Instant, to: Instant): readonly JudgedReading[]
  /**
   * Good readings gathered into at most `count` equal columns between `from` and `to`; full resolution when there are
   * no more readings than columns. `gap`: a silence longer than this is a `null` row.
   */
  columns(
    sensor: SensorId,
    quantity: Quantity,
    from: Instant,
    to: Instant,
    count: number,
    gap: Millis,
  ): { readonly resolution: 'readings' | 'columns'; readonly columns: Columns }
  /** One summary per stretch. Stretches are ascending and do not overlap. */
  summaries(
    sensor: SensorId,
    quantity: Quantity,
    stretches: readonly { readonly from: Instant; readonly to: Instant }[],
    zonesOf: ZonesOf,
  ): readonly Summary[]
  /** Instants of the first and last stored reading, or null. */
  span(sensor: SensorId, quantity: Quantity): { readonly first: Instant; readonly last: Instant } | null

  /** Newest first, ids below `before`. With `places` or `kinds` only their lines; those that name no place are no place's. */
  journal(query: {
    readonly before?: number
    readonly limit: number
    readonly from?: Instant
    readonly to?: Instant
    readonly alarmsOnly?: boolean
    readonly places?: readonly PlaceId[]
    readonly kinds?: readonly JournalKind[]
  }): readonly JournalLine[]

  close(): void
}
