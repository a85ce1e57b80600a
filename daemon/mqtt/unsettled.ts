import type { Millis } from '../../schemas/units.ts'
import type { Settle } from '../ports/broker.ts'

export interface Unsettled {
  /** Counts a packet as handed on. `then` runs when it is settled; settling it twice throws. */
  take(then: (failure: Error | null) => void): Settle
  /** True from `limit` packets on: whoever can wait must wait. */
  isFull(): boolean
  /** Calls `resume` once, as soon as fewer than `limit` are unsettled. */
  whenRoom(resume: () => void): void
  /** Says whether all were settled within the time. */
  drained(within: Millis): Promise<boolean>
}

/** Counts the packets that were handed on and are not settled yet (X3). */
export function unsettledPackets(limit: number): Unsettled {
  let count = 0
  let waiting: (() => void)[] = []
  let onEmpty: (() => void) | null = null

  function settled(): void {
    count -= 1
    if (count < limit && waiting.length > 0) {
      const resumed = waiting
      waiting = []
      for (const resume of resumed) resume()
    }
    if (count === 0) onEmpty?.()
  }

  return {
    take(then) {
      let isSettled = false
      count += 1
      return (failure) => {
        if (isSettled) throw new Error('a packet was settled twice')
        isSettled = true
        then(failure)
        settled()
      }
    },
    isFull: () => count >= limit,
    whenRoom(resume) {
      if (count < limit) resume()
      else waiting.push(resume)
    },
    drained(within) {
      if (count === 0) return Promise.resolve(true)
      return new Promise((resolve) => {
        const timer = setTimeout(() => resolve(false), within)
        onEmpty = () => {
          clearTimeout(timer)
          resolve(true)
        }
      })
    },
  }
}
