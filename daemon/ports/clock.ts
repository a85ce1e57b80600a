import type { Instant, Millis } from '../../schemas/units.ts'

/** The world's time. `uptime` never jumps; `now` may. */
export interface Clock {
  now(): Instant
  uptime(): Millis
}

/** Waiting, given from outside so that tests can hold it still. */
export interface Timer {
  /** As soon as what is in hand is done. */
  soon(act: () => void): void
  after(ms: Millis, act: () => void): { cancel(): void }
}
