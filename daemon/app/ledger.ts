import type { JournalLine, LiveEvent } from '../../schemas/api.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { millis, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Settle } from '../ports/broker.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { JudgedReading, Snapshot, Store } from '../ports/store.ts'

/**
 * Who waits for the commit of a message, and so how long it may take; an alarm's never waits. `soon`: a person, or
 * something that must not be lost. `client`: a sensor of our own broker, which may send nothing more until it is
 * answered. `brokerWaits`: a broker outside keeps the message until then. `group`: nobody waits.
 */
export type Patience = 'soon' | 'brokerWaits' | 'group' | { readonly client: string }

/**
 * Messages that a broker outside holds for us and that force a commit. Mosquitto's default is 20 in flight, beyond which
 * it is free to hand over nothing new (mosquitto.conf(5), max_inflight_messages; 2.0.11 was seen to go on).
 */
const inFlight = 18
/** A waiting sensor is answered at once after so long without a commit: a lone reading never waits. */
const restedFor: Millis = seconds(2)
/**
 * Sensors that never leave the card that long use up so many such answers, and then wait up to twelve seconds: some
 * 8,000 commits a day are what a memory card is spared with. One quick answer more may be given each twelve seconds; a
 * round ten would fall into step with sensors that send each ten.
 */
const spendable = 60
const tiredFor: Millis = seconds(12)
/** So soon after its answer a sensor has more to send, one at a time: it is not held up. */
const inAHurry: Millis = millis(100)
/** So many answered together are worth a commit of their own: a sensor that catches up is not slowed down. */
const worthACommit = 50
/** Readings that force a commit, so that one transaction stays under some ten milliseconds. */
const groupSize = 2000
/** Readings kept in memory while the store fails: 200,000 are 28 hours of 20 sensors at 10 s, about 30 MB. */
const mostReadings = 200_000
/** Dropped together, so that a full memory is not moved at every reading. */
const dropped = 10_000
/** The same for journal lines: more than a winter of alarms. */
const mostLines = 20_000
const retryAfter = seconds(1)
/**
 * After so long a failing store no longer holds the messages back. A broker stops sending when twenty are unanswered,
 * and judging must go on (N2): from here on the only copy is in memory, and the alarm about the store says so.
 */
const heldFor: Millis = seconds(5)

/** Readings that found no room in memory while the store failed. */
export interface Unkept {
  readonly count: number
  readonly from: Instant
  readonly to: Instant
}

export interface Ledger {
  addReading(reading: JudgedReading): void
  addLine(entry: JournalEntry): void
  addParcels(parcels: readonly Parcel[]): void
  addLive(event: LiveEvent): void
  addHousehold(household: Household): void
  /** Acts of people, kept together with what they changed. */
  addDiary(lines: readonly DiaryLine[]): void
  /** Settled once everything before it is committed, in order. */
  addSettle(settle: Settle, patience: Patience): void
  /** The watch's state goes into the next commit. */
  keepState(): void
  /** Commits within the patience given; at once where something must not wait, unless the store fails. */
  schedule(patience: Patience): void
  commit(): void
  /** Commits at once; false where the store does not take it, and then nothing of it remains. Only while nothing waits. */
  commitOrDrop(): boolean
  /** What must not wait: at once, or with the next try. */
  commitNow(): void
  isFailing(): boolean
  /** Readings that wait for the store. */
  waiting(): number
  /** Readings that were committed since the start. */
  stored(): number
  close(): void
}

/** What is to be committed next, and what waits for that. One transaction holds all of it. */
export function openLedger(world: {
  readonly store: Pick<Store, 'commit'>
  readonly clock: Pick<Clock, 'uptime'>
  readonly timer: Timer
  readonly log: Log
  readonly commitEvery: Millis
  readonly snapshot: () => Snapshot
  /** After a commit: what has now happened. */
  readonly onKept: (lines: readonly JournalLine[], live: readonly LiveEvent[]) => void
  /** New messages, committed or, while the store fails, only in memory: people are told all the same. */
  readonly onParcels: (parcels: readonly Parcel[]) => void
  readonly onFailing: (cause: unknown) => void
  /** It works again; `unkept` where memory was too small. */
  readonly onWorking: (unkept: Unkept | null) => void
}): Ledger {
  const { store, clock, timer, log, commitEvery } = world
  let readings: JudgedReading[] = []
  let journal: JournalEntry[] = []
  let parcels: Parcel[] = []
  let settles: Settle[] = []
  let live: LiveEvent[] = []
  let diary: DiaryLine[] = []
  let household: Household | null = null
  let mustKeepState = false
  let isSoon = false
  let waiting: { readonly due: number; cancel(): void } | null = null
  let committedAt = Number.NEGATIVE_INFINITY
  let answered = { clients: new Set<string>(), at: Number.NEGATIVE_INFINITY }
  let spent = 0
  /** Messages in hand that a broker outside holds for us, and those whose sensors wait for an answer. */
  let held = 0
  let asking: string[] = []
  let failures = 0
  let failingSince: Millis | null = null
  let handedOn = 0
  let unkept: Unkept | null = null
  let stored = 0

  const batch = () => ({
    readings,
    journal,
    parcels,
    ...(diary.length > 0 ? { diary } : {}),
    ...(mustKeepState ? { snapshot: world.snapshot() } : {}),
    ...(household === null ? {} : { household }),
  })

  const hasNothing = (): boolean =>
    readings.length + journal.length + parcels.length + diary.length === 0 &&
    household === null &&
    !mustKeepState

  function commit(): void {
    waiting?.cancel()
    waiting = null
    isSoon = false
    if (hasNothing() && settles.length === 0) return
    let lines: readonly JournalLine[]
    try {
      lines = hasNothing() ? [] : store.commit(batch())
    } catch (cause) {
      return fail(cause)
    }
    settleAfter(lines)
  }

  function settleAfter(lines: readonly JournalLine[]): void {
    const now = clock.uptime()
    if (!hasNothing()) {
      spent = Math.max(0, spent - (now - committedAt) / tiredFor) + 1
      committedAt = now
    }
    const [settled, events, ready, lost] = [settles, live, parcels.slice(handedOn), unkept]
    const wasFailing = failures > 0
    if (wasFailing) log.info({ failures, readings: readings.length }, 'Storing works again.')
    stored += readings.length
    readings = []
    journal = []
    parcels = []
    diary = []
    settles = []
    held = 0
    if (asking.length > 0) answered = { clients: new Set(asking), at: now }
    asking = []
    live = []
    household = null
    mustKeepState = false
    failures = 0
    failingSince = null
    handedOn = 0
    unkept = null
    for (const settle of settled) settle(null)
    if (ready.length > 0) world.onParcels(ready)
    world.onKept(lines, events)
    if (wasFailing) world.onWorking(lost)
  }

  function fail(cause: unknown): void {
    failures += 1
    failingSince ??= clock.uptime()
    if (failures === 1)
      log.error(
        { err: cause, pending: readings.length },
        'Storing failed; judging goes on, and storing is tried again every second.',
      )
    within(retryAfter)
    // Kept for the store, and sent all the same: a full disk must not silence an alarm (N2).
    const fresh = parcels.slice(handedOn)
    handedOn = parcels.length
    if (fresh.length > 0) world.onParcels(fresh)
    if (failures === 1) world.onFailing(cause)
    settleFromMemory()
    world.onKept([], live.splice(0))
  }

  function settleFromMemory(): void {
    if (failingSince === null || clock.uptime() - failingSince < heldFor) return
    for (const settle of settles.splice(0)) settle(null)
    held = 0
    asking = []
    if (journal.length > mostLines) journal = journal.slice(journal.length - mostLines)
    if (readings.length < mostReadings) return
    const gone = readings.slice(0, dropped)
    readings = readings.slice(dropped)
    unkept = gone.reduce<Unkept | null>(
      (sum, { at }) => ({
        count: (sum?.count ?? 0) + 1,
        from: sum !== null && sum.from < at ? sum.from : at,
        to: sum !== null && sum.to > at ? sum.to : at,
      }),
      unkept,
    )
  }

  function atOnce(): void {
    if (isSoon) return
    isSoon = true
    timer.soon(() => {
      if (isSoon) commit()
    })
  }

  function within(ms: number): void {
    const due = clock.uptime() + ms
    if (waiting !== null && waiting.due <= due) return
    waiting?.cancel()
    waiting = { due, cancel: timer.after(millis(ms), commit).cancel }
  }

  return {
    addReading: (reading) => void readings.push(reading),
    addLine: (entry) => void journal.push(entry),
    addParcels: (more) => void parcels.push(...more),
    addLive: (event) => void live.push(event),
    addHousehold(changed) {
      household = changed
    },
    addDiary: (lines) => void diary.push(...lines),
    addSettle(settle, patience) {
      settles.push(settle)
      if (patience === 'brokerWaits') held += 1
      else if (typeof patience === 'object') asking.push(patience.client)
    },
    keepState() {
      mustKeepState = true
    },
    schedule(patience) {
      if (failures > 0) return settleFromMemory()
      if (patience === 'soon' || held >= inFlight || readings.length >= groupSize) return atOnce()
      // What has nothing to store costs nothing to answer.
      if (hasNothing()) return atOnce()
      if (typeof patience === 'string') return within(commitEvery)
      const now = clock.uptime()
      const rest = committedAt + (spent < spendable ? restedFor : tiredFor) - now
      const isHurried = now - answered.at < inAHurry && answered.clients.has(patience.client)
      if (rest <= 0 || isHurried || asking.length >= worthACommit) atOnce()
      else within(rest)
    },
    commit,
    commitOrDrop() {
      let lines: readonly JournalLine[]
      try {
        lines = store.commit(batch())
      } catch (cause) {
        log.error({ err: cause }, 'A change could not be stored, and was refused.')
        journal = []
        parcels = []
        diary = []
        live = []
        household = null
        mustKeepState = false
        return false
      }
      settleAfter(lines)
      return true
    },
    commitNow() {
      if (failures === 0) return commit()
      // The next try is at most a second away; people need not wait for it.
      const fresh = parcels.slice(handedOn)
      handedOn = parcels.length
      if (fresh.length > 0) world.onParcels(fresh)
      settleFromMemory()
      world.onKept([], live.splice(0))
    },
    isFailing: () => failures > 0,
    waiting: () => readings.length,
    stored: () => stored,
    close() {
      mustKeepState = true
      commit()
      waiting?.cancel()
    },
  }
}
