import type { Millis } from '../../schemas/units.ts'

export interface LoopWatch {
  /** To be called every so often; how long nothing was called, where that was longer than is tolerated. */
  tick(): Millis | null
}

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
  return {
    tick() {
      const now = uptime()
      const stood = last === null ? 0 : now - last - every
      last = now
      return stood > tolerated ? (stood as Millis) : null
    },
  }
}
