import type { Alarm } from '../../schemas/alarm.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId, PlaceId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'
import { seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { calibrated } from '../sensing/calibration.ts'
import { judgeAlone, judgeQuality, noHistory } from '../sensing/quality.ts'
import { afterCheck, saysNothing } from '../sensing/under-check.ts'
import type { AlarmEvent } from './alarm.ts'
import { limitNames } from './band.ts'
import { judgeBattery } from './battery.ts'
import { jumpWatch } from './clock-jump.ts'
import { judgeAgreement } from './disagreement.ts'
import { layOut, type ProfileOf } from './layout.ts'
import { startInside } from './limit.ts'
import { judgeLimits, putSeries, renewRules, renewRulesOf } from './place-rules.ts'
import { isSuppressible } from './policy.ts'
import { applyTo, type Draft, turnAlarm } from './raising.ts'
import { rehouse } from './rehouse.ts'
import { noteBelief, noteHeard, passTimeFor, passWatching } from './silence.ts'
import { settleTaken, takeThermal } from './thermal-judge.ts'
import { noteStage, passStages, type StageEvent } from './stages.ts'
import type { SeriesWatch, WatchState, WatchStep } from './watch-state.ts'
import { say } from '../words/say.ts'

export type WatchEvent =
  /** `heardAt` is the clock when it arrived; a reading without its own time carries it as `at` too. */
  | { readonly kind: 'reading'; readonly reading: Reading; readonly heardAt: Instant }
  /** A retained message without its own time (L6). */
  | {
      readonly kind: 'lastKnown'
      readonly sensor: Reading['sensor']
      readonly quantity: Quantity
      readonly value: number
    }
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
  | {
      readonly kind: 'tend'
      readonly place: PlaceId
      readonly at: Instant
      readonly until: Instant
      readonly by: string
    }

/** A reading may be stamped this far ahead of our clock before it is set aside (L5). */
const toleratedAhead = seconds(60)

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
      takeReading(draft, event.reading, event.heardAt)
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

function takeReading(draft: Draft, given: Reading, heardAt: Instant): void {
  // Minus nothing is nothing: text keeps no sign for it, and a snapshot must give back what it was given.
  const reading = Object.is(given.value, -0) ? { ...given, value: 0 } : given
  const s = draft.state.layout.sensorIndex.get(reading.sensor)
  const sensor = s === undefined ? undefined : draft.state.sensors[s]
  const spec = s === undefined ? undefined : draft.state.layout.sensors[s]
  if (s === undefined || sensor === undefined || spec === undefined) return
  if (reading.at > heardAt + toleratedAhead) return setAside(draft, s, reading, heardAt)

  const { quantity, at } = reading
  const known = sensor.series[quantity]
  if (known !== undefined && at <= known.last.at) {
    if (at === known.last.at) return
    const quality = saysNothing(spec, reading) ? 'checking' : judgeAlone(reading, spec.type)
    draft.effects.push({ kind: 'store', reading, quality, late: true })
    return
  }
  const p = draft.state.layout.placeOfSensor[s] ?? -1
  const until = draft.state.places[p]?.rules.until ?? null
  if (until !== null && until <= at) renewRulesOf(draft, p, at)
  if (known?.good && !known.stale && at >= known.good.at + staleCheckFrom)
    passTimeFor(draft, s, (at - 1) as Instant)

  const past = known?.history ?? noHistory
  const [history, quality] = saysNothing(spec, reading)
    ? ([afterCheck(past), 'checking'] as const)
    : judgeQuality(past, reading, spec)
  const believed = quality === 'good'
  // Believed and stored is what the sensor said; judged is what it means.
  const value = believed ? calibrated(spec.calibrations, quantity, at, reading.value) : reading.value
  const now = draft.state.sensors[s] ?? sensor
  const before = now.series[quantity]
  const taken = believed ? takeThermal(draft.state, s, p, quantity, before, at, value) : null
  const thermal = taken?.thermal ?? before?.thermal
  const series: SeriesWatch = {
    last: { at, value, quality, heardAt },
    good: believed ? { at, value } : (before?.good ?? null),
    history,
    stale: believed ? false : (before?.stale ?? false),
    limits: before?.limits ?? insideAll,
    ...(thermal === undefined ? {} : { thermal }),
  }
  putSeries(draft, s, { ...now, heardAt: later(now.heardAt, at), clockAhead: null }, quantity, series)
  draft.effects.push({ kind: 'store', reading, quality, late: false })
  if (believed) {
    judgeLimits(draft, s, quantity, { kind: 'reading', at, value })
    if (taken !== null) settleTaken(draft, s, p, at, taken)
    if (quantity === 'temperature') judgeAgreement(draft, s, at)
    else if (quantity === 'battery' || quantity === 'voltage') judgeBattery(draft, s, quantity, at, value)
  }
  if (now.silent) noteHeard(draft, s, at)
  // What is read elsewhere says nothing about the sensor either, good or bad.
  const isTelling = quality !== 'checking' && (!believed || before?.last.quality !== 'good')
  if (quantity === 'temperature' && isTelling) noteBelief(draft, s, series, at)
}

const insideAll: SeriesWatch['limits'] = limitNames.map(() => startInside)

/** A sensor is never stale sooner than this, so younger values need no look at the timers before a reading. */
const staleCheckFrom = seconds(60)

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

function setAside(draft: Draft, s: number, reading: Reading, heardAt: Instant): void {
  const sensor = draft.state.sensors[s]
  if (sensor === undefined) return
  const byMs = reading.at - heardAt
  draft.effects.push({ kind: 'setAside', reading })
  if (sensor.clockAhead === null) {
    const entry: JournalEntry = {
      at: heardAt,
      kind: 'clockFault',
      by: 'brumal',
      sensor: sensor.id,
      text: say('Its readings are stamped {round} s ahead of this clock and are set aside.', {
        round: Math.round(byMs / 1000),
      }),
      ...(sensor.place === null ? {} : { place: sensor.place }),
    }
    draft.effects.push({ kind: 'journal', entry })
  }
  const clockAhead = { since: sensor.clockAhead?.since ?? heardAt, byMs }
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, clockAhead }) }
}

function noteLastKnown(draft: Draft, event: Extract<WatchEvent, { kind: 'lastKnown' }>): void {
  const s = draft.state.layout.sensorIndex.get(event.sensor)
  const sensor = s === undefined ? undefined : draft.state.sensors[s]
  if (s === undefined || sensor === undefined) return
  const lastKnown = { ...sensor.lastKnown, [event.quantity]: event.value }
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, lastKnown }) }
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

function tend(draft: Draft, event: Extract<WatchEvent, { kind: 'tend' }>): void {
  const i = draft.state.layout.placeIndex.get(event.place)
  const here = i === undefined ? undefined : draft.state.layout.places[i]
  if (here === undefined) return
  const others = draft.state.tendings.filter((tending) => tending.place !== event.place)
  const ending = event.until <= event.at
  const { at, until, by, place } = event
  const tendings = ending ? others : [...others, { place, until, by }]
  draft.state = { ...draft.state, tendings }
  const covered = here.within.flatMap((w) => draft.state.layout.places[w]?.place.id ?? [])
  draft.effects.push({
    kind: 'journal',
    entry: { at, kind: ending ? 'tended' : 'tending', by, place, ...(ending ? {} : { until }) },
  })
  for (const alarm of draft.state.alarms.values()) {
    if (alarm.place === null || !covered.includes(alarm.place) || !isSuppressible(alarm)) continue
    if (ending) applyTo(draft, alarm, { kind: 'unsuppress', at })
    else if (isShown(alarm)) applyTo(draft, alarm, { kind: 'suppress', at, until, by })
  }
}

const isShown = (alarm: Alarm): boolean =>
  alarm.state.name !== 'normal' && alarm.state.name !== 'outOfService'

const later = (one: Instant | null, other: Instant): Instant => (one !== null && one > other ? one : other)

function sortJournal(draft: Draft): void {
  const at = (effect: Draft['effects'][number]): number =>
    effect.kind === 'journal' ? effect.entry.at : Number.POSITIVE_INFINITY
  const isJournal = draft.effects.filter((effect) => effect.kind === 'journal')
  if (isJournal.length < 2) return
  const rest = draft.effects.filter((effect) => effect.kind !== 'journal')
  isJournal.sort((one, other) => at(one) - at(other))
  draft.effects.splice(0, draft.effects.length, ...isJournal, ...rest)
}
