import { seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'

/** A watcher that takes longer is as good as away; the next beat comes soon. */
const patience: Millis = seconds(10)

/**
 * Tells a watcher outside of the house that the daemon lives: a GET to `url`, without a body, every `every` and once at
 * the start, for as long as `isWell` says so. What the watcher does when the beats stop is its own affair. A beat that
 * does not get through is said once, and once more when they do again; the address is a key and is never said (X4).
 */
export function startHeartbeat(world: {
  readonly url: string
  readonly every: Millis
  /** Whether judging goes on. A daemon that only answers must not pass for one that watches. */
  readonly isWell: () => boolean
  readonly clock: Pick<Clock, 'uptime'>
  readonly log: Log
}): { stop(): void } {
  const { url, every, isWell, clock, log } = world
  let failures = 0
  let isUnderWay = false
  const end = new AbortController()

  async function beat(): Promise<void> {
    if (isUnderWay || !isWell()) return
    isUnderWay = true
    const begun = clock.uptime()
    const why = await ping(url, AbortSignal.any([end.signal, AbortSignal.timeout(patience)]))
    isUnderWay = false
    if (end.signal.aborted) return
    if (why === null) {
      if (failures > 0) log.info({ failures }, 'The watcher outside hears the heartbeat again.')
      failures = 0
      return
    }
    failures += 1
    if (failures === 1)
      log.warn(
        { why, ms: clock.uptime() - begun },
        'The watcher outside does not hear the heartbeat; it goes on.',
      )
  }

  void beat()
  const beating = setInterval(() => void beat(), every)
  return {
    stop() {
      clearInterval(beating)
      end.abort()
    },
  }
}

/** Null when it was heard; else why not, without the address. */
async function ping(url: string, signal: AbortSignal): Promise<string | null> {
  try {
    const answer = await fetch(url, { signal, redirect: 'follow', cache: 'no-store' })
    await answer.body?.cancel()
    return answer.ok ? null : `it answered with ${answer.status}`
  } catch (error) {
    const cause = error instanceof Error ? (error.cause ?? error) : error
    const code = typeof cause === 'object' && cause !== null && 'code' in cause ? String(cause.code) : ''
    return signal.aborted ? 'it did not answer in time' : `no answer${code === '' ? '' : ` (${code})`}`
  }
}
