export interface DaemonClock {
  /** Fetches, and takes the time from the answer. */
  readonly fetch: typeof fetch
  /** The daemon's time in ms; this phone's own until the first answer. */
  now(): number
}

/**
 * The daemon's clock by the `Date` of its answers (RFC 9110 §6.6.1), good to a second: "for 26 min" stays right on a phone
 * whose clock is wrong.
 */
export function daemonClock(fetchFrom: typeof fetch, ownNow: () => number): DaemonClock {
  let ahead = 0
  return {
    fetch: async (...request) => {
      const response = await fetchFrom(...request)
      const at = Date.parse(response.headers.get('date') ?? '')
      if (!Number.isNaN(at)) ahead = at - ownNow()
      return response
    },
    now: () => ownNow() + ahead,
  }
}
