import type { Instant } from '../../schemas/units.ts'
import {
  earliestPlausible,
  evidence,
  nowOf,
  silentlyFollowed,
  startTime,
  stepTime,
  type TimeEvent,
} from '../../shared/time/house-time.ts'
import type { Clock } from '../ports/clock.ts'

/** The house's time over this machine's clocks (N3). Its `now` moves otherwise than time passes only in `step` and `heard`. */
export interface HouseClock extends Clock {
  /** Looks at the machine's clocks; to be called twice a second. What it returns is to be told to whoever remembers instants. */
  step(): TimeEvent | null
  /** A reading came with its own time; to be called before it is judged. */
  heard(stamp: Instant): TimeEvent | null
  /** Whether the machine's clock is believed. */
  isTrusted(): boolean
}

/** `newest`: the latest instant that was kept by the house's time, if there is any. */
export function houseClock({
  machine,
  newest,
  isSynchronised,
}: {
  readonly machine: Clock
  readonly newest: Instant | null
  /** Whether the machine has its time from a server; absent where it cannot say. */
  readonly isSynchronised?: () => boolean
}): HouseClock {
  // Asked only while it matters: it may be a look at a file.
  const clocks = (isInDoubt: boolean) => ({
    wall: machine.now(),
    uptime: machine.uptime(),
    isSynchronised: isInDoubt && (isSynchronised?.() ?? false),
  })
  let time = startTime({ ...clocks(true), newest, floor: earliestPlausible })
  const isFarOff = () =>
    Math.abs(machine.now() - nowOf(time, { uptime: machine.uptime() })) > silentlyFollowed
  return {
    now: () => nowOf(time, { uptime: machine.uptime() }),
    uptime: () => machine.uptime(),
    step() {
      const [next, event] = stepTime(time, clocks(!time.isTrusted || isFarOff()))
      time = next
      return event
    },
    heard(stamp) {
      const [next, event] = evidence(time, { stamp, uptime: machine.uptime() })
      time = next
      return event
    },
    isTrusted: () => time.isTrusted,
  }
}
