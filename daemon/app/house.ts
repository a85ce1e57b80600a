import type { LiveEvent } from '../../schemas/api.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Message, Parcel } from '../../schemas/outbox.ts'
import type { Stage } from '../../schemas/stage.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { toSnapshot } from '../../shared/judging/snapshot.ts'
import { stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import type { ReadingCounts } from '../../shared/metrics/facts.ts'
import { withChecksMoved } from '../../shared/sensing/under-check.ts'
import type { Settle } from '../ports/broker.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Store } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import { channelIn, contactIn } from './contacts.ts'
import { hourFolder } from './hour-folder.ts'
import { keepingFailures, unkeptWords } from './keeping-failures.ts'
import { openLedger, type Patience } from './ledger.ts'
import { liveListeners } from './live-listeners.ts'
import type { MessageSources } from './message-world.ts'
import { patienceFor } from './patience-for.ts'
import { putEffects } from './put-effects.ts'
import { countReadings } from './reading-counts.ts'
import { resumeHouse } from './resume-house.ts'
import { makeTeller, type Told } from './teller.ts'
import { zonesIn } from './zones-in.ts'

/** Where everything that was heard is judged, kept and told. */
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
  const left = resumeHouse(world.resumed ?? store.resume(), { household, profileOf, log, now: clock.now() })
  let state = left.watch
  const teller = makeTeller(left.told, { ...world.messages, store })
  let outbox: Sending | null = null
  const failures = keepingFailures((isWell, text) => report('store', isWell, text))
  const live = liveListeners()
  const counts = countReadings()

  const zonesOf = zonesIn(() => state.layout)
  const snapshot = () => toSnapshot(state, teller.state())

  const ledger = openLedger({
    store,
    clock,
    timer,
    log,
    commitEvery,
    snapshot,
    onKept(lines, events) {
      for (const event of events) live.publish(event)
      for (const line of lines) live.publish({ kind: 'journal', line })
    },
    onParcels: (parcels) => outbox?.put(parcels),
    onFailing: (cause) => failures.note('commit', asError(cause)),
    onWorking(unkept) {
      if (unkept !== null)
        ledger.addLine({
          at: clock.now(),
          kind: 'notKept',
          by: 'brumal',
          text: unkeptWords(unkept, state.layout.household.timeZone),
        })
      failures.note('commit', null)
    },
  })
  if (isNew) ledger.addHousehold(household)
  const fold = hourFolder({ store, clock, log, ledger, zonesOf, snapshot })

  function isStoring(): boolean {
    ledger.commit()
    return !ledger.isFailing()
  }

  function report(stage: Stage, isWell: boolean, text: string): void {
    take({ kind: 'stage', stage, isWell, at: clock.now(), text: text.slice(0, 500) }, 'group')
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
    const isUrgent = putEffects(effects, ledger, clock)
    const isTold = isUrgent && tell(teller.take(effects, state, clock.now()))
    const isDue = event.kind === 'timePassed' && tell(teller.pass(state, clock.now()))
    if (isUrgent || isTold || isDue) {
      ledger.keepState()
      ledger.commitNow()
    } else if (effects.length > 0 || settle !== undefined)
      ledger.schedule(patienceFor(event, state, patience))
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
      putEffects(effects, ledger, clock)
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
    failure: failures.words,
    housekeeping: failures.note,
    waiting: ledger.waiting,
    counts: () => ({ ...counts.sums(), stored: ledger.stored() }),
    commit: ledger.commit,
    catchUp() {
      if (ledger.waiting() > 0 && !ledger.isFailing()) ledger.commit()
    },
    fold,
    isHeard: live.isHeard,
    subscribe: live.subscribe,
    publish: live.publish,
    close: ledger.close,
  }
}

const asError = (cause: unknown): Error => (cause instanceof Error ? cause : new Error(String(cause)))
