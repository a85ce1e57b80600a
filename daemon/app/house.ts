import type { LiveEvent } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import { later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { fromSnapshot, tellingIn, toSnapshot } from '../../shared/judging/snapshot.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import { zoneTimes } from '../../shared/judging/zones.ts'
import { nothingTold } from '../../shared/telling/escalation.ts'
import type { Clock, JudgedReading, Log, Settle, Store, ZonesOf } from '../ports.ts'
import { channelIn, contactIn } from './contacts.ts'
import type { MessageSources } from './message-world.ts'
import { makeTeller, type Told } from './teller.ts'

/** Waiting, given from outside so that tests can hold it still. */
export interface Timer {
  /** As soon as what is in hand is done. */
  soon(act: () => void): void
  after(ms: Millis, act: () => void): { cancel(): void }
}

/** How long a reading may wait for its commit: an alarm never does. */
export type Patience = 'soon' | 'group'

export interface House {
  state(): WatchState
  zonesOf: ZonesOf
  /** Judges one event; `settle` is called once what came of it is committed. */
  take(event: WatchEvent, patience: Patience, settle?: Settle): readonly WatchEffect[]
  /** Settles a message that holds nothing for us, in its turn. */
  pass(patience: Patience, settle: Settle): void
  note(entry: JournalEntry): void
  /** Who sends what people are to be told. Until one is named, messages wait in the store. */
  sendBy(outbox: Sending): void
  /** A contact's channels have all failed, or one works again. */
  reach(contact: ContactId, isReached: boolean, text: string): void
  /** The message as it would be said now; null where it is no longer true. */
  refresh(parcel: Parcel): Message | null
  /** Tests one channel; the parcel that went out, or null where there is no such channel. */
  ring(contact: string, channel: string): Parcel | null
  /** Takes the changed household in and keeps it, in one transaction. */
  rehouse(household: Household, entry: JournalEntry): void
  commit(): void
  /** Moves closed hours into blocks when it is time. */
  fold(): void
  /** Whether there is room for more; a full house lets the broker keep what it has. */
  isFull(): boolean
  isHeard(): boolean
  subscribe(listener: (event: LiveEvent) => void): () => void
  publish(event: LiveEvent): void
  close(): void
}

/** What the house asks of the outbox. */
export interface Sending {
  put(parcels: readonly Parcel[]): void
  settle(alarm: AlarmId, outcome: string): void
}

/** Unsettled messages that force a commit: three quarters of the 20 that a broker keeps in flight by default. */
const inFlight = 15
/** Readings that force a commit, so that one transaction stays under some ten milliseconds. */
const groupSize = 2000
/** Readings kept in memory while the store fails: 200,000 are an hour of 20 sensors at 0.36 s, about 30 MB. */
const mostPending = 200_000
const retryAfter = seconds(1)
/** An hour is folded this long after its end, so that ordinary delays need no second merge. */
const foldAfter = minutes(5)
/** More unfolded readings than this are folded at once: scanning them for one sensor would take over 7 ms. */
const mostUnfolded = 50_000

/** Opens the house as it was left: last snapshot, then every reading kept after it (L7). */
export function openHouse(world: {
  readonly store: Store
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
  readonly profileOf: ProfileOf
  readonly commitEvery: Millis
  readonly newHousehold: () => Household
  readonly messages: Omit<MessageSources, 'store'>
}): House {
  const { store, clock, timer, log, profileOf, commitEvery } = world
  let household = store.household()
  const isNew = household === null
  household ??= world.newHousehold()
  const kept = store.resume()
  let state = resume(kept, household, profileOf, clock.now())
  const teller = makeTeller(kept.snapshot === null ? nothingTold : tellingIn(kept.snapshot), {
    ...world.messages,
    store,
  })
  let outbox: Sending | null = null
  let parcels: Parcel[] = []

  let readings: JudgedReading[] = []
  let journal: JournalEntry[] = []
  let settles: Settle[] = []
  let live: LiveEvent[] = []
  let mustKeepState = false
  let changedHousehold: Household | null = isNew ? household : null
  let isSoon = false
  let waiting: { cancel(): void } | null = null
  let failures = 0
  const listeners = new Set<(event: LiveEvent) => void>()

  const zonesOf: ZonesOf = (sensor, quantity, stretch, before, good) => {
    const s = state.layout.sensorIndex.get(sensor)
    return zoneTimes(state.layout, s ?? -1, quantity, stretch, before, good)
  }

  const publish = (event: LiveEvent) => {
    for (const listener of listeners) listener(event)
  }

  function commit(): void {
    waiting?.cancel()
    waiting = null
    isSoon = false
    if (
      readings.length + journal.length + settles.length + parcels.length === 0 &&
      changedHousehold === null &&
      !mustKeepState
    )
      return
    let lines
    try {
      lines =
        readings.length + journal.length + parcels.length === 0 && changedHousehold === null && !mustKeepState
          ? []
          : store.commit({
              readings,
              journal,
              parcels,
              ...(mustKeepState ? { snapshot: toSnapshot(state, teller.state()) } : {}),
              ...(changedHousehold === null ? {} : { household: changedHousehold }),
            })
    } catch (cause) {
      failures += 1
      if (failures === 1)
        log.error(
          { err: cause, pending: readings.length },
          'Storing failed; judging goes on, and storing is tried again every second.',
        )
      waiting = timer.after(retryAfter, commit)
      // Kept for the store, and sent all the same: a full disk must not silence an alarm (N2).
      outbox?.put(parcels)
      return
    }
    if (failures > 0)
      log.info({ failures, readings: readings.length }, 'Storing works again; nothing was lost.')
    failures = 0
    const [settled, events, ready] = [settles, live, parcels]
    parcels = []
    readings = []
    journal = []
    settles = []
    live = []
    mustKeepState = false
    changedHousehold = null
    for (const settle of settled) settle(null)
    if (ready.length > 0) outbox?.put(ready)
    for (const event of events) publish(event)
    for (const line of lines) publish({ kind: 'journal', line })
  }

  function schedule(patience: Patience): void {
    if (failures > 0) return
    if (patience === 'soon' || settles.length >= inFlight || readings.length >= groupSize) {
      if (isSoon) return
      isSoon = true
      timer.soon(() => {
        if (isSoon) commit()
      })
    } else waiting ??= timer.after(commitEvery, commit)
  }

  function perform(effects: readonly WatchEffect[]): boolean {
    let isUrgent = false
    for (const effect of effects) {
      switch (effect.kind) {
        case 'store':
          readings.push({ ...effect.reading, quality: effect.quality })
          break
        case 'journal':
          journal.push(effect.entry)
          isUrgent = true
          break
        case 'alarm':
          live.push({ kind: 'alarm', alarm: effect.alarm, at: clock.now() })
          isUrgent = true
          break
        case 'setAside':
        case 'tell':
          break
        default:
          effect satisfies never
      }
    }
    return isUrgent
  }

  /** Parcels go into the next commit; what nobody need hear any more is taken back from the outbox. */
  function tell({ parcels: more, settled, hasChanged }: Told): boolean {
    parcels.push(...more)
    for (const { alarm, why } of settled) outbox?.settle(alarm, why)
    return hasChanged || more.length > 0
  }

  function take(event: WatchEvent, patience: Patience, settle?: Settle): readonly WatchEffect[] {
    const [next, effects] = stepWatch(state, event)
    state = next
    if (settle !== undefined) settles.push(settle)
    const isUrgent = perform(effects)
    const isTold = isUrgent && tell(teller.take(effects, state, clock.now()))
    const isDue = event.kind === 'timePassed' && tell(teller.pass(state, clock.now()))
    if (isUrgent || isTold || isDue) {
      mustKeepState = true
      if (failures === 0) commit()
    } else if (effects.length > 0 || settle !== undefined) schedule(patience)
    return effects
  }

  return {
    state: () => state,
    zonesOf,
    take,
    pass(patience, settle) {
      settles.push(settle)
      schedule(patience)
    },
    note(entry) {
      journal.push(entry)
      if (failures === 0) commit()
    },
    sendBy(sending) {
      outbox = sending
    },
    reach(contact, isReached, text) {
      take({ kind: 'reach', contact, isReached, at: clock.now(), text }, 'soon')
      if (isReached) return
      tell(teller.outOfReach(contact, state, clock.now()))
      mustKeepState = true
      if (failures === 0) commit()
    },
    refresh: (parcel) => teller.refresh(parcel, state, clock.now()),
    ring(contactId, channelId) {
      const { household } = state.layout
      const [contact, channel] = [contactIn(household, contactId), channelIn(household, contactId, channelId)]
      if (contact === undefined || channel === undefined) return null
      const parcel = teller.ring(contact, channel, state, clock.now())
      parcels.push(parcel)
      if (failures === 0) commit()
      return parcel
    },
    rehouse(household, entry) {
      const [next, effects] = stepWatch(state, { kind: 'household', at: entry.at, household, profileOf })
      state = next
      perform(effects)
      tell(teller.take(effects, state, clock.now()))
      journal.push(entry)
      changedHousehold = household
      mustKeepState = true
      live.push({ kind: 'tonight' })
      if (failures === 0) commit()
    },
    commit,
    fold() {
      const now = clock.now()
      const many = store.unfolded() > mostUnfolded
      if (failures > 0 || store.unfolded() === 0) return
      commit()
      if (failures > 0) return
      const closed = hourOf(later(now, -foldAfter))
      const result = store.fold(
        many ? later(hourOf(now), 3_600_000) : closed,
        zonesOf,
        toSnapshot(state, teller.state()),
      )
      if (result.readings > 0) log.debug(result, 'Closed hours folded into blocks.')
    },
    isFull: () => readings.length >= mostPending,
    isHeard: () => listeners.size > 0,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    publish,
    close() {
      mustKeepState = true
      commit()
      waiting?.cancel()
    },
  }
}

const hourOf = (at: Instant): Instant => (at - (at % 3_600_000)) as Instant

/** The fold is deterministic, so what was judged after the snapshot is judged again to the same state, without effects. */
function resume(
  { snapshot, since }: ReturnType<Store['resume']>,
  household: Household,
  profileOf: ProfileOf,
  now: Instant,
): WatchState {
  let state =
    snapshot === null
      ? startWatch(household, profileOf, since[0]?.at ?? now)
      : fromSnapshot(snapshot, household, profileOf)
  for (const { quality: _, ...reading } of since)
    state = stepWatch(state, { kind: 'reading', reading, heardAt: reading.at })[0]
  return state
}
