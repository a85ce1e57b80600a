import { days, later } from '../../schemas/amounts.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Store } from '../ports/store.ts'
import { say, sayCount } from '../../shared/words/say.ts'

export interface Thinning {
  /** Begins where a day has passed since the last time; goes on in steps by itself. */
  check(): void
  /** Takes no further step. */
  stop(): void
}

/** Hours of one step: a step is one transaction, and what comes in waits for it. */
const hoursInStep = 200
const every: Millis = days(1)
/** Even where there is too little room: the night and the month before it are what people look at. */
const neverYoungerThan: Millis = days(30)

/**
 * Once a day lets single readings give way to the values of their hour: those older than `keepReadings`, and, while
 * more than `budget` is in use, the oldest. One line of the journal says what went.
 */
export function openThinning(world: {
  readonly store: Pick<Store, 'thin' | 'size'>
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
  readonly zone: () => string
  readonly settings: { readonly keepReadings: Millis; readonly budget: number }
  readonly note: (entry: JournalEntry) => void
}): Thinning {
  const { store, clock, timer, log, settings } = world
  let lastAt: Millis | null = null
  let isStopped = false
  let run: Run | null = null
  let hasFailed = false

  function step(): void {
    if (run === null || isStopped) return
    try {
      if (goesOn(run)) {
        timer.soon(step)
        return
      }
      hasFailed = false
    } catch (cause) {
      if (!hasFailed)
        log.error({ err: cause }, 'Old readings could not be thinned; it is tried again tomorrow.')
      hasFailed = true
    }
    end()
  }

  /** One step; says whether there is more to do. */
  function goesOn(now: Run): boolean {
    if (now.isForRoom && store.size().usedBytes <= settings.budget) return false
    const took = store.thin(now.before, hoursInStep)
    now.hours += took.hours
    now.readings += took.readings
    now.bytes += took.bytes
    if (took.hours === hoursInStep) return true
    if (now.isForRoom) {
      if (store.size().usedBytes > settings.budget)
        log.warn(
          { budget: settings.budget },
          'The database is larger than store.budget, and nothing in it is old enough to be thinned.',
        )
      return false
    }
    now.isForRoom = true
    now.before = earlier(clock.now(), neverYoungerThan)
    return true
  }

  function end(): void {
    const done = run
    run = null
    if (done === null || done.hours === 0) return
    const at = clock.now()
    const before = localDate(thinnedBefore(done), world.zone())
    world.note({
      at,
      kind: 'thinned',
      by: 'brumal',
      text: say(
        '{readings} in {hours} before {before} gave way to hourly values; {bytes} are free for new ones.',
        {
          readings: sayCount(done.readings, '{n} reading', '{n} readings'),
          hours: sayCount(done.hours, '{n} hour #in', '{n} hours #in'),
          before,
          bytes: bytesWords(done.bytes),
        },
      ),
    })
  }

  /** Made for room it went no further than it had to: from there on every reading is kept. */
  function thinnedBefore({ before, isForRoom }: Run): Instant {
    const byAge = earlier(clock.now(), settings.keepReadings)
    if (!isForRoom) return byAge
    try {
      const { everyReadingFrom } = store.size()
      const reached = everyReadingFrom !== null && everyReadingFrom < before ? everyReadingFrom : before
      return reached > byAge ? reached : byAge
    } catch {
      return byAge
    }
  }

  return {
    check() {
      const now = clock.uptime()
      if (isStopped || run !== null || (lastAt !== null && now - lastAt < every)) return
      lastAt = now
      run = {
        before: earlier(clock.now(), settings.keepReadings),
        isForRoom: false,
        hours: 0,
        readings: 0,
        bytes: 0,
      }
      step()
    },
    stop() {
      isStopped = true
      end()
    },
  }
}

interface Run {
  before: Instant
  /** First whatever is too old, then as much as is too much. */
  isForRoom: boolean
  hours: number
  readings: number
  bytes: number
}

/** Instants begin in 1970; a hundred years before now may not. */
const earlier = (at: Instant, ms: number): Instant => later(at, -Math.min(ms, at))
