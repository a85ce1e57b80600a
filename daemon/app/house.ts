import type { LiveEvent } from '../../schemas/api.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import { later, minutes } from '../../schemas/amounts.ts'
import type { Stage } from '../../schemas/stage.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { delayingOf } from '../../shared/judging/guarded-limit.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { fromSnapshot, instantIn, tellingIn, toSnapshot } from '../../shared/judging/snapshot.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import type { ReadingCounts } from '../../shared/metrics/facts.ts'
import { withChecksMoved } from '../../shared/sensing/under-check.ts'
import { nothingTold } from '../../shared/telling/escalation.ts'
import { clockWords } from '../../shared/telling/message.ts'
import type { Settle } from '../ports/broker.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Store } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import { channelIn, contactIn } from './contacts.ts'
import { openLedger, type Patience, type Unkept } from './ledger.ts'
import { countReadings } from './reading-counts.ts'
import type { MessageSources } from './message-world.ts'
import { makeTeller, type Told } from './teller.ts'
import { zonesIn } from './zones-in.ts'
import { say } from '../../shared/words/say.ts'

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
  /** Takes the changed household in and keeps it, in one transaction; false where that fails, and all is as before. */
  rehouse(household: Household, entry: JournalEntry, diary?: readonly DiaryLine[]): boolean
  commit(): void
  /** Commits readings that wait, so that whoever looks at a curve sees them; nothing while the store fails. */
  catchUp(): void
  /** Moves closed hours into blocks when it is time. */
  fold(): void
  /** A stage of the daemon says how it is (N1). */
  report(stage: Stage, isWell: boolean, text: string): void
  /** The clock was set: everything remembered keeps its age (N3). */
  clockSet(was: Instant, at: Instant, text: string): void
  /** Commits what waits, and says whether the store takes it. */
  isStoring(): boolean
  /** What of keeping fails just now, in one sentence; null while all is stored. */
  failure(): string | null
  /** Housekeeping outside of a commit failed, or works again. */
  housekeeping(part: string, failure: Error | null): void
  /** Readings that wait for the store. */
  waiting(): number
  /** What has become of readings since the start. */
  counts(): Omit<ReadingCounts, 'messages' | 'refused'>
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
  /** What the store gave back, where somebody has asked it already. */
  readonly resumed?: ReturnType<Store['resume']>
  readonly messages: Omit<MessageSources, 'store'>
}): House {
  const { store, clock, timer, log, profileOf, commitEvery } = world
  let household = store.household()
  const isNew = household === null
  household ??= world.newHousehold()
  const kept = readable(world.resumed ?? store.resume(), log)
  let state = resume(kept, household, profileOf, clock.now())
  const teller = makeTeller(kept.snapshot === null ? nothingTold : tellingIn(kept.snapshot), {
    ...world.messages,
    store,
  })
  let outbox: Sending | null = null
  /** What of keeping fails, by part, each with its sentence. */
  const failing = new Map<string, string>()
  const listeners = new Set<(event: LiveEvent) => void>()
  const counts = countReadings()
  let foldedBefore: Instant | null = null

  const zonesOf = zonesIn(() => state.layout)

  const publish = (event: LiveEvent) => {
    for (const listener of listeners) listener(event)
  }

  const ledger = openLedger({
    store,
    clock,
    timer,
    log,
    commitEvery,
    snapshot: () => toSnapshot(state, teller.state()),
    onKept(lines, live) {
      for (const event of live) publish(event)
      for (const line of lines) publish({ kind: 'journal', line })
    },
    onParcels: (parcels) => outbox?.put(parcels),
    onFailing: (cause) => housekeeping('commit', asError(cause)),
    onWorking(unkept) {
      if (unkept !== null)
        ledger.addLine({
          at: clock.now(),
          kind: 'notKept',
          by: 'brumal',
          text: unkeptWords(unkept, state.layout.household.timeZone),
        })
      housekeeping('commit', null)
    },
  })
  if (isNew) ledger.addHousehold(household)

  function housekeeping(part: string, failure: Error | null): void {
    if (failure === null) failing.delete(part)
    else failing.set(part, failure.message)
    report('store', failing.size === 0, failureWords() ?? say('Everything is stored again.'))
  }

  function failureWords(): string | null {
    const [first] = failing.values()
    return first === undefined ? null : first.slice(0, 400)
  }

  function isStoring(): boolean {
    ledger.commit()
    return !ledger.isFailing()
  }

  function report(stage: Stage, isWell: boolean, text: string): void {
    take({ kind: 'stage', stage, isWell, at: clock.now(), text: text.slice(0, 500) }, 'group')
  }

  function perform(effects: readonly WatchEffect[]): boolean {
    let isUrgent = false
    for (const effect of effects) {
      switch (effect.kind) {
        case 'store':
          ledger.addReading({ ...effect.reading, quality: effect.quality })
          break
        case 'journal':
          ledger.addLine(effect.entry)
          isUrgent = true
          break
        case 'alarm':
          ledger.addLive({ kind: 'alarm', alarm: effect.alarm, at: clock.now() })
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
    ledger.addParcels(more)
    for (const { alarm, why } of settled) outbox?.settle(alarm, why)
    return hasChanged || more.length > 0
  }

  function take(event: WatchEvent, patience: Patience, settle?: Settle): readonly WatchEffect[] {
    const [next, effects] = stepWatch(state, event)
    state = next
    if (settle !== undefined) ledger.addSettle(settle, patience)
    if (event.kind === 'reading') counts.heard(effects)
    const isUrgent = perform(effects)
    const isTold = isUrgent && tell(teller.take(effects, state, clock.now()))
    const isDue = event.kind === 'timePassed' && tell(teller.pass(state, clock.now()))
    if (isUrgent || isTold || isDue) {
      ledger.keepState()
      ledger.commitNow()
    } else if (effects.length > 0 || settle !== undefined)
      ledger.schedule(patience === 'group' && isPastLimit(state, event) ? pastLimit : patience)
    return effects
  }

  return {
    state: () => state,
    zonesOf,
    take,
    pass(patience, settle) {
      ledger.addSettle(settle, patience)
      ledger.schedule(patience)
    },
    note(entry) {
      ledger.addLine(entry)
      ledger.commitNow()
    },
    sendBy(sending) {
      outbox = sending
    },
    reach(contact, isReached, text) {
      take({ kind: 'reach', contact, isReached, at: clock.now(), text }, 'soon')
      if (isReached) return
      tell(teller.outOfReach(contact, state, clock.now()))
      ledger.keepState()
      ledger.commitNow()
    },
    refresh: (parcel) => teller.refresh(parcel, state, clock.now()),
    ring(contactId, channelId) {
      const { household } = state.layout
      const [contact, channel] = [contactIn(household, contactId), channelIn(household, contactId, channelId)]
      if (contact === undefined || channel === undefined) return null
      const parcel = teller.ring(contact, channel, state, clock.now())
      ledger.addParcels([parcel])
      ledger.commitNow()
      return parcel
    },
    rehouse(household, entry, diary = []) {
      if (!isStoring()) return false
      const [before, told] = [state, teller.state()]
      const [next, effects] = stepWatch(state, { kind: 'household', at: entry.at, household, profileOf })
      state = next
      perform(effects)
      const { parcels, settled } = teller.take(effects, state, clock.now())
      ledger.addParcels(parcels)
      ledger.addLine(entry)
      ledger.addHousehold(household)
      ledger.addDiary(diary)
      ledger.keepState()
      ledger.addLive({ kind: 'tonight' })
      if (!ledger.commitOrDrop()) {
        state = before
        teller.goBackTo(told)
        return false
      }
      for (const { alarm, why } of settled) outbox?.settle(alarm, why)
      return true
    },
    report,
    clockSet(was, at, text) {
      teller.jump(was, at)
      const moved = withChecksMoved(state.layout.household, was, at)
      if (moved !== state.layout.household) ledger.addHousehold(moved)
      take({ kind: 'clockJumped', was, at, text }, 'soon')
    },
    isStoring,
    failure: failureWords,
    housekeeping,
    waiting: ledger.waiting,
    counts: () => ({ ...counts.sums(), stored: ledger.stored() }),
    commit: ledger.commit,
    catchUp() {
      if (ledger.waiting() > 0 && !ledger.isFailing()) ledger.commit()
    },
    fold() {
      const now = clock.now()
      const many = store.unfolded() > mostUnfolded
      const closed = hourOf(later(now, -foldAfter))
      // Once an hour: each fold writes the snapshot, and one every half minute was a third of all that is written.
      if (ledger.isFailing() || store.unfolded() === 0 || (!many && closed === foldedBefore)) return
      ledger.commit()
      if (ledger.isFailing()) return
      const result = store.fold(
        many ? later(hourOf(now), 3_600_000) : closed,
        zonesOf,
        toSnapshot(state, teller.state()),
      )
      foldedBefore = closed
      if (result.readings > 0) log.debug(result, 'Closed hours folded into blocks.')
    },
    isHeard: () => listeners.size > 0,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    publish,
    close: ledger.close,
  }
}

/** Nobody's message, kept as soon as a sensor's that waits. */
const pastLimit: Patience = { client: '' }

/** A delay that runs must not begin anew because we were killed: its readings are kept as if somebody waited (L7). */
function isPastLimit(state: WatchState, event: WatchEvent): boolean {
  if (event.kind !== 'reading') return false
  const s = state.layout.sensorIndex.get(event.reading.sensor) ?? -1
  const limits = state.sensors[s]?.series[event.reading.quantity]?.limits ?? []
  return limits.some((limit) => delayingOf(limit) !== null)
}

const unkeptWords = ({ count, from, to }: Unkept, zone: string): string =>
  say(
    '{count} readings between {clock} and {clock2}: memory was full while nothing could be stored. They were judged all the same.',
    { count, clock: clockWords(from, zone), clock2: clockWords(to, zone) },
  )

const asError = (cause: unknown): Error => (cause instanceof Error ? cause : new Error(String(cause)))

const hourOf = (at: Instant): Instant => (at - (at % 3_600_000)) as Instant

/** A snapshot that cannot be read must not keep the house from being watched: judging begins afresh. */
function readable(kept: ReturnType<Store['resume']>, log: Log): ReturnType<Store['resume']> {
  try {
    if (kept.snapshot !== null) instantIn(kept.snapshot)
    return kept
  } catch (cause) {
    log.error({ err: cause }, 'What was known of the alarms cannot be read; judging begins afresh.')
    return { ...kept, snapshot: null }
  }
}

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
