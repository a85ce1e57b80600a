import { millis, minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

export interface LoopWatch {
  /** To be called every so often; how long nothing was called, where that was longer than is tolerated. */
  tick(): Millis | null
  /** The longest that one came late in the last minute or two. */
  lag(): Millis
}

const lagKept: Millis = minutes(1)

/** Notices that the event loop stood still: what was to run every `every` did not for longer than `tolerated`. */
export function watchLoop({
  uptime,
  every,
  tolerated,
}: {
  readonly uptime: () => Millis
  readonly every: Millis
  readonly tolerated: Millis
}): LoopWatch {
  let last: Millis | null = null
  /** Of the minute that runs, and of the one before. */
  let [longest, longestBefore] = [0, 0]
  let minuteFrom = uptime()
  return {
    lag: () => millis(Math.max(longest, longestBefore)),
    tick() {
      const now = uptime()
      const stood = last === null ? 0 : now - last - every
      last = now
      if (now - minuteFrom >= lagKept) {
        minuteFrom = now
        longestBefore = longest
        longest = 0
      }
      longest = Math.max(longest, stood)
      return stood > tolerated ? (stood as Millis) : null
    },
  }
}
