import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'
import type { AlarmEvent } from './alarm.ts'
import { jumpWatch } from './clock-jump.ts'
import { layOut, type ProfileOf } from './layout.ts'
import { renewRules } from './place-rules.ts'
import { applyTo, type Draft, turnAlarm } from './raising.ts'
import { rehouse } from './rehouse.ts'
import { passTimeFor, passWatching } from './silence.ts'
import { noteStage, passStages, type StageEvent } from './stages.ts'
import { type LastKnownEvent, noteLastKnown, type ReadingEvent, takeReading } from './take-reading.ts'
import { tend, type TendEvent } from './tending.ts'
import type { WatchState, WatchStep } from './watch-state.ts'
import { say } from '../words/say.ts'

/** What the judge hears of. */
export type WatchEvent =
  | ReadingEvent
  | LastKnownEvent
  | { readonly kind: 'timePassed'; readonly at: Instant }
  /** The daemon begins to listen after a start: what happened before is a gap (L7). */
  | { readonly kind: 'listening'; readonly at: Instant }
  | {
      readonly kind: 'household'
      readonly at: Instant
      readonly household: Household
      readonly profileOf: ProfileOf
    }
  /** A contact's channels have all failed, or one works again (N1). */
  | {
      readonly kind: 'reach'
      readonly contact: ContactId
      readonly isReached: boolean
      readonly at: Instant
      readonly text: string
    }
  | StageEvent
  /** The clock was set: what was `was` a moment ago is `at` now (N3). */
  | { readonly kind: 'clockJumped'; readonly was: Instant; readonly at: Instant; readonly text: string }
  | { readonly kind: 'person'; readonly alarm: AlarmId; readonly act: Extract<AlarmEvent, { by: string }> }
  | TendEvent

/** An empty watch over a household. */
export function startWatch(household: Household, profileOf: ProfileOf, at: Instant): WatchState {
  const empty: WatchState = {
    layout: layOut({ ...household, places: [], sensors: [], animals: [] }, profileOf),
    at,
    listeningSince: at,
    sensors: [],
    places: [],
    alarms: new Map(),
    tendings: [],
    stages: {},
  }
  const draft: Draft = { state: empty, effects: [] }
  rehouse(draft, household, profileOf, at)
  return draft.state
}

/** The whole judge as one fold: the next state and, as data, what the world is to do. Journal lines are in order of time. */
export function stepWatch(state: WatchState, event: WatchEvent): WatchStep {
  const draft: Draft = { state, effects: [] }
  switch (event.kind) {
    case 'reading':
      takeReading(draft, event)
      break
    case 'lastKnown':
      noteLastKnown(draft, event)
      break
    case 'timePassed':
      passTime(draft, event.at)
      break
    case 'listening':
      draft.state = { ...draft.state, listeningSince: event.at }
      passTime(draft, event.at)
      break
    case 'household':
      passTime(draft, event.at)
      rehouse(draft, event.household, event.profileOf, event.at)
      break
    case 'reach':
      noteReach(draft, event)
      break
    case 'stage':
      noteStage(draft, event)
      break
    case 'clockJumped':
      jump(draft, event)
      break
    case 'person': {
      const alarm = draft.state.alarms.get(event.alarm)
      if (alarm !== undefined) applyTo(draft, alarm, event.act)
      break
    }
    case 'tend':
      tend(draft, event)
      break
    default:
      return event satisfies never
  }
  if (draft.effects.length > 1) sortJournal(draft)
  return [draft.state, draft.effects]
}

function passTime(draft: Draft, at: Instant): void {
  if (at < draft.state.at) return
  renewRules(draft, at)
  // Before the sensors: while the broker is away, no silence is theirs.
  passStages(draft, at)
  draft.state.sensors.forEach((_, s) => passTimeFor(draft, s, at))
  passWatching(draft, at)
  const over = draft.state.tendings.filter((tending) => tending.until <= at)
  for (const alarm of draft.state.alarms.values())
    if (alarm.state.name === 'shelved' || alarm.state.name === 'suppressed')
      applyTo(draft, alarm, { kind: 'timePassed', at })
  for (const tending of over)
    draft.effects.push({
      kind: 'journal',
      entry: { at: tending.until, kind: 'tended', by: 'brumal', place: tending.place },
    })
  noteEndedChecks(draft, at)
  const tendings = over.length === 0 ? draft.state.tendings : draft.state.tendings.filter((t) => t.until > at)
  draft.state = { ...draft.state, at, tendings }
}

/** Says in the journal which checks have ended by themselves since time was last judged. */
function noteEndedChecks(draft: Draft, at: Instant): void {
  for (const { id, name, place, check } of draft.state.layout.sensors) {
    if (check === undefined || check.until <= draft.state.at || check.until > at) continue
    const text = say('The check of {name} has ended by itself: what it reads counts again.', { name })
    const entry: JournalEntry = { at: check.until, kind: 'changed', by: 'brumal', sensor: id, text }
    draft.effects.push({ kind: 'journal', entry: place === null ? entry : { ...entry, place } })
  }
}

/** Everything remembered keeps its age; the journal says what happened to the time. */
function jump(draft: Draft, { was, at, text }: Extract<WatchEvent, { kind: 'clockJumped' }>): void {
  draft.state = jumpWatch(draft.state, was, at)
  draft.effects.push({ kind: 'journal', entry: { at, kind: 'clockSet', by: 'brumal', text } })
}

/** A person out of reach is an alarm of its own, about nobody's place. */
function noteReach(
  draft: Draft,
  { contact, isReached, at, text }: Extract<WatchEvent, { kind: 'reach' }>,
): void {
  if (!draft.state.layout.household.contacts.some(({ id }) => id === contact)) return
  const subject = {
    kind: 'undeliverable',
    place: null,
    sensor: null,
    contact,
    quantity: null,
    limit: null,
  } as const
  const change = isReached
    ? ({ kind: 'cameBack', at, value: null, text } as const)
    : ({ kind: 'wentOut', at, value: null, threshold: null, priority: 'medium', text } as const)
  turnAlarm(draft, { ...subject, priority: 'medium' }, change)
}

function sortJournal(draft: Draft): void {
  const at = (effect: Draft['effects'][number]): number =>
    effect.kind === 'journal' ? effect.entry.at : Number.POSITIVE_INFINITY
  const isJournal = draft.effects.filter((effect) => effect.kind === 'journal')
  if (isJournal.length < 2) return
  const rest = draft.effects.filter((effect) => effect.kind !== 'journal')
  isJournal.sort((one, other) => at(one) - at(other))
  draft.effects.splice(0, draft.effects.length, ...isJournal, ...rest)
}
