import type { JournalLine } from '../../schemas/api.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { UpstreamState, UpstreamWaiting } from '../../schemas/upstream.ts'
import type { Instant } from '../../schemas/units.ts'

/** How far what is kept has gone on: to which reading by its number in arrival, and to which line of the journal. */
export interface UpstreamCursor {
  readonly seq: number
  readonly line: number
}

/** Where to find a reading that is to go on. */
export interface ReadingPlace {
  readonly seq: number
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly at: Instant
}

/** An hour of which something has not gone on; `seq` grows when something more comes late. */
export interface OwedHour {
  readonly id: number
  readonly from: Instant
  readonly to: Instant
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly seq: number
}

/** What the store knows of what has gone on, in the same database as the readings themselves. */
export interface UpstreamStore {
  /** Where the last run stood; the first time, the end of what there is. From here on nothing is forgotten unsent. */
  begin(): UpstreamCursor
  /** Nothing goes on any more: what was owed is forgotten. */
  end(): void
  /** Of those that are not folded yet, in order of arrival. */
  readingsAfter(seq: number, atMost: number): readonly ReadingPlace[]
  /** In order of writing. */
  linesAfter(line: number, kinds: readonly JournalKind[], atMost: number): readonly JournalLine[]
  /** Oldest hours first. */
  owed(atMost: number): readonly OwedHour[]
  /** Keeps how far it has come; an hour to which something came late meanwhile stays owed. */
  save(cursor: UpstreamCursor, sent: readonly OwedHour[]): void
  /** Forgets the oldest hours beyond so many; how many those were. */
  keepNewest(hours: number): number
  waiting(cursor: UpstreamCursor, kinds: readonly JournalKind[]): UpstreamWaiting
}

export interface UpstreamMessage {
  readonly topic: string
  readonly payload: string
}

/** The way to the broker elsewhere. Never throws for a network reason: it says so in its state and tries again. */
export interface UpstreamLink {
  start(): void
  state(): UpstreamState
  onState(listener: (state: UpstreamState) => void): void
  /** True once the broker has acknowledged every one. On false any of them may have arrived. */
  send(messages: readonly UpstreamMessage[]): Promise<boolean>
  stop(): Promise<void>
}
