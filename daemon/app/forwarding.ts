import { millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { UpstreamNow, UpstreamWaiting } from '../../schemas/upstream.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { alarmChanges } from '../../schemas/journal.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { UpstreamCursor, UpstreamLink, UpstreamStore } from '../ports/upstream.ts'
import type { History } from './calibrated-history.ts'
import type { House } from './house.ts'
import { makeWindows, type Window } from './forwarding-windows.ts'

export interface Forwarding {
  start(): void
  now(): UpstreamNow
  /** Keeps how far it came; what is on its way goes again after the next start. */
  stop(): Promise<void>
}

export interface ForwardingWorld {
  readonly site: string
  readonly store: UpstreamStore
  /** Readings as they are shown, each by the calibration of its time. */
  readonly history: Pick<History, 'readings'>
  readonly link: UpstreamLink
  readonly house: Pick<House, 'subscribe'>
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
  /** How often readings are committed: looking more often finds nothing. */
  readonly commitEvery: Millis
}

/** A shorter rhythm of commits is for tests and for the curve on the screen. */
const leastBetween: Millis = seconds(1)
/** So that a week that is made up for takes neither the line nor the computer: that of twenty sensors goes in eight minutes. */
const mostPerSecond = 5000
/** After a window of few readings, or of alarms. */
const leastPause: Millis = millis(20)
/**
 * How far it has come is kept so often at most: a memory card takes some 8,000 commits a day. Well before the fold of an
 * hour, five minutes after its end, which would else owe what has gone.
 */
const keepEvery: Millis = minutes(2)
/** Series-hours owed: 52 days of twenty sensors of two quantities (X3). Beyond, the oldest are let go of. */
const mostOwed = 50_000
const tidyEvery: Millis = minutes(10)
/** Whoever asks how it stands does not make the store count each time (X3). */
const countFreshFor: Millis = seconds(5)

/**
 * Passes what is kept on to a broker elsewhere: changes of alarms first, then new readings, then the hours that an outage
 * left owing. It reads what is stored and never holds anything up; one window at a time, and the next once the broker has
 * acknowledged that. Dying between that and keeping the cursor sends some twice, under the same names and times.
 */
export function openForwarding(world: ForwardingWorld): Forwarding {
  const { site, store, link, clock, timer, log } = world
  const every = millis(Math.max(world.commitEvery, leastBetween))
  let cursor: UpstreamCursor | null = null
  let windows: ReturnType<typeof makeWindows> | null = null
  let pumping: Promise<void> | null = null
  let isDirty = false
  let keptAt: number = Number.NEGATIVE_INFINITY
  let tidiedAt: number = Number.NEGATIVE_INFINITY
  let isLost = false
  let isFailing = false
  let mustLookAgain = false
  let isStopped = false
  let turn: { cancel(): void } | null = null
  let counted: { readonly at: Millis; readonly waiting: UpstreamWaiting } | null = null
  let lastSentAt: Instant | null = null
  const sent = { readings: 0, alarmChanges: 0 }

  /** The store may take or give nothing just now; it is asked again at the next turn. */
  function tried(work: () => void): boolean {
    try {
      work()
      return true
    } catch (cause) {
      if (!isFailing) log.warn({ err: cause }, 'What is to be passed on cannot be read; it is tried again.')
      isFailing = true
      return false
    }
  }

  function keep(): void {
    if (cursor === null || !isDirty) return
    store.save(cursor, windows?.takeSent() ?? [])
    isDirty = false
    keptAt = clock.uptime()
  }

  function begin(): void {
    if (cursor !== null) return
    cursor = store.begin()
    windows = makeWindows({ ...world, cursor: () => cursor ?? { seq: 0, line: 0 }, keep })
  }

  function next(): Window | 'nothing' | 'notReadable' {
    let window: Window | null = null
    const isRead = tried(() => {
      begin()
      window = windows?.next() ?? null
    })
    if (!isRead) return 'notReadable'
    if (isFailing) log.info({}, 'What is to be passed on can be read again.')
    isFailing = false
    return window ?? 'nothing'
  }

  function accept(window: Window): void {
    cursor = window.cursor
    windows?.wasSent(window)
    isDirty = true
    counted = null
    lastSentAt = clock.now()
    sent.readings += window.readings
    sent.alarmChanges += window.alarmChanges
    keepInTime()
  }

  function keepInTime(): void {
    if (clock.uptime() - keptAt >= keepEvery) tried(keep)
  }

  async function pump(): Promise<void> {
    while (!isStopped && link.state().name === 'up') {
      mustLookAgain = false
      const window = next()
      if (window === 'notReadable') return
      if (window !== 'nothing' && !(await link.send(window.packs))) {
        tried(() => windows?.wasLost())
        return
      }
      if (isLost) log.info({ site }, 'Readings and alarms are passed on again.')
      isLost = false
      if (window === 'nothing') return
      accept(window)
      const pause = millis(Math.max(leastPause, (window.readings / mostPerSecond) * 1000))
      await new Promise<void>((resolve) => void timer.after(pause, resolve))
    }
  }

  function wake(): void {
    mustLookAgain = true
    if (pumping !== null || isStopped) return
    pumping = pump()
      .catch((cause: unknown) => log.error({ err: cause }, 'Passing on failed; it is tried again.'))
      .finally(() => {
        pumping = null
        // Somebody called while it was ending
        if (mustLookAgain && link.state().name === 'up') wake()
      })
  }

  function tidy(): void {
    if (clock.uptime() - tidiedAt < tidyEvery) return
    tidiedAt = clock.uptime()
    const hours = store.keepNewest(mostOwed)
    if (hours > 0)
      log.warn(
        { hours },
        'The broker elsewhere has been away for too long: the oldest hours will not reach it.',
      )
  }

  function look(): void {
    tried(() => {
      begin()
      tidy()
    })
    keepInTime()
    wake()
    turn = timer.after(every, look)
  }

  function waiting(): UpstreamWaiting {
    const at = clock.uptime()
    if (counted !== null && at - counted.at < countFreshFor) return counted.waiting
    let found = counted?.waiting ?? { readings: 0, hours: 0, alarmChanges: 0, oldest: null }
    tried(() => {
      if (cursor !== null) found = store.waiting(cursor, alarmChanges)
    })
    counted = { at, waiting: found }
    return found
  }

  const unsubscribe = world.house.subscribe(({ kind }) => {
    if (kind === 'alarm' || kind === 'journal') timer.soon(wake)
  })
  link.onState(({ name, sentence }) => {
    if (name === 'up') wake()
    if (name !== 'down' || isLost || isStopped) return
    isLost = true
    log.warn({ site }, `Nothing is passed on for now, and all of it is kept. ${sentence}`)
  })

  return {
    start() {
      look()
      link.start()
    },
    now: () => ({ site, ...link.state(), waiting: waiting(), sent: { ...sent }, lastSentAt }),
    async stop() {
      if (isStopped) return
      isStopped = true
      unsubscribe()
      turn?.cancel()
      await link.stop()
      await pumping
      tried(keep)
    },
  }
}
