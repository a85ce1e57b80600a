import { seconds } from '../../schemas/amounts.ts'
import type { BackupLine } from '../../schemas/keeping.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Backups } from '../ports/keeping.ts'
import type { Log } from '../ports/log.ts'
import { say } from '../../shared/words/say.ts'

/** What is known of the folder of the backups. It is asked without waiting: it may be on a network that has gone away. */
export interface BackupList {
  /** Newest first, as when the folder last answered; empty where it could not be read. */
  known(): readonly BackupLine[]
  isFresh(freshFor: Millis): boolean
  /** Asks the folder unless it did so within `freshFor`. Resolves with its answer, or when it has been silent too long. */
  look(freshFor: Millis): Promise<void>
  isLooking(): boolean
  /** Whether it did not answer when last asked. */
  isSilent(): boolean
  /** What is known is old: somebody has just written there. */
  forget(): void
  stop(): void
}

/** A disk that sleeps takes some seconds to turn again, and a small board as long to begin; what takes longer hangs. */
const answerWithin: Millis = seconds(20)

export function openBackupList(world: {
  readonly backups: Backups
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
}): BackupList {
  const { backups, clock, timer, log } = world
  let known: readonly BackupLine[] = []
  let askedAt: Millis | null = null
  let asking: { readonly stop: AbortController; readonly bounded: Promise<void> } | null = null
  let isSilent = false
  let isGivenUp = false

  function ask(): Promise<void> {
    askedAt = clock.uptime()
    isGivenUp = false
    const stop = new AbortController()
    const bounded = new Promise<void>((resolve) => {
      const limit = timer.after(answerWithin, () => {
        isSilent = true
        isGivenUp = true
        stop.abort(new Error(say('The folder of the backups does not answer.')))
        resolve()
      })
      const end = (): void => {
        limit.cancel()
        asking = null
        resolve()
      }
      backups.list(clock.now(), stop.signal).then(
        (list) => {
          known = list
          isSilent = false
          end()
        },
        (cause: unknown) => {
          if (!stop.signal.aborted) {
            log.debug({ err: cause }, say('The folder of the backups cannot be read.'))
            known = []
            isSilent = false
          }
          end()
        },
      )
    })
    // One that hangs is not asked a second time before it lets go of the first.
    asking = { stop, bounded }
    return bounded
  }

  const isFresh = (freshFor: Millis): boolean => askedAt !== null && clock.uptime() - askedAt < freshFor

  return {
    known: () => known,
    isFresh,
    look(freshFor) {
      if (asking !== null) return asking.bounded
      return isFresh(freshFor) ? Promise.resolve() : ask()
    },
    isLooking: () => asking !== null && !isGivenUp,
    isSilent: () => isSilent,
    forget() {
      askedAt = null
    },
    stop() {
      asking?.stop.abort(new Error(say('Brumal is stopping.')))
    },
  }
}
