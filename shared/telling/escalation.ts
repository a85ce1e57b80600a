import { hours, minutes } from '../../schemas/amounts.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import type { Contact, Telling } from '../../schemas/contact.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { MessageKind } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { isFlood, isFloodOver, noteRaise, type RaiseLog, raisedOften } from './raise-log.ts'

/** What has been said about one raising of one alarm. */
export interface Told {
  readonly alarm: Alarm
  /** When people were first to know: the raising, or the end of a flood that had folded it. */
  readonly since: Instant
  /** Contacts told so far, in order. */
  readonly contacts: readonly ContactId[]
  readonly lastAt: Instant
  readonly repeats: number
}

/** Everything that telling remembers. Plain data. */
export interface TellingState {
  readonly told: { readonly [alarm in AlarmId]?: Told }
  /** Low alarms since the last morning. */
  readonly low: readonly { readonly alarm: Alarm; readonly at: Instant }[]
  readonly raises: RaiseLog
  /** A flood in progress (A5), and when it was last told. */
  readonly flood: {
    readonly since: Instant
    readonly lastAt: Instant
    readonly contacts: readonly ContactId[]
  } | null
  /** Alarms found chattering, and when. */
  readonly chattering: { readonly [alarm in AlarmId]?: Instant }
  /** The morning that was last summed up. */
  readonly summedAt: Instant | null
}

export const nothingTold: TellingState = {
  told: {},
  low: [],
  raises: [],
  flood: null,
  chattering: {},
  summedAt: null,
}

export type TellingEvent =
  | { readonly kind: 'raised' | 'returned'; readonly alarm: Alarm; readonly at: Instant }
  /** Somebody answered or hid it: nobody is rung about it any more. */
  | { readonly kind: 'settled'; readonly alarm: Alarm; readonly at: Instant }
  /** No channel of this contact could be reached about it. */
  | {
      readonly kind: 'undeliverable'
      readonly alarm: AlarmId
      readonly contact: ContactId
      readonly at: Instant
    }
  | { readonly kind: 'timePassed'; readonly at: Instant; readonly isMorning: boolean }

/** Say this to that contact by every channel it has. `alarms` has one for most kinds, several for floods and summaries. */
export interface Say {
  readonly what: MessageKind
  readonly contact: ContactId
  readonly alarms: readonly Alarm[]
  readonly at: Instant
}

export interface TellingRules {
  /** Those that have a channel, in order. */
  readonly contacts: readonly Contact[]
  readonly telling: Telling
}

/** After this long a ringing alarm rings less often: whoever can be woken has been. */
export const ringsOftenFor: Millis = hours(1)
const ringsSeldom: Millis = minutes(15)
/** A chattering alarm is told once in this time. */
export const chatterQuiet: Millis = minutes(10)

/**
 * Who is told what, and when (A4, A5): high rings its first contact, again and again, and one contact more after each
 * wait, until somebody answers; medium is told once and once again; low waits for the morning. What came back is told
 * once, to those who were told of it.
 */
export function stepTelling(
  state: TellingState,
  event: TellingEvent,
  rules: TellingRules,
): readonly [TellingState, readonly Say[]] {
  switch (event.kind) {
    case 'raised':
      return raised(state, event.alarm, event.at, rules)
    case 'returned':
      return returned(state, event.alarm, event.at)
    case 'settled':
      return [withoutTold(state, event.alarm.id), []]
    case 'undeliverable':
      return undeliverable(state, event, rules)
    case 'timePassed':
      return timePassed(state, event.at, event.isMorning, rules)
    default:
      return event satisfies never
  }
}

/** When telling changes by time alone; null when it does not. Mornings are the caller's to know. */
export function nextTelling(state: TellingState, rules: TellingRules): Instant | null {
  const times = Object.values(state.told).flatMap((told) => (told === undefined ? [] : dueTimes(told, rules)))
  if (state.flood !== null) times.push(state.flood.lastAt + rules.telling.repeatEvery)
  return times.length === 0 ? null : (Math.min(...times) as Instant)
}

type Step = readonly [TellingState, readonly Say[]]

function raised(before: TellingState, alarm: Alarm, at: Instant, rules: TellingRules): Step {
  const raises = noteRaise(before.raises, alarm.id, at)
  const state = { ...before, raises }
  if (alarm.priority === 'low') return [{ ...state, low: [...state.low, { alarm, at }] }, []]

  const chatteringSince = state.chattering[alarm.id]
  if (chatteringSince !== undefined && at < chatteringSince + chatterQuiet)
    return [keep(state, alarm, at, []), []]
  if (raisedOften(raises, alarm.id, at)) {
    const chattering = { ...state.chattering, [alarm.id]: at }
    const [told, say] = tell({ ...state, chattering }, alarm, at, rules, 'chattering')
    return [told, say]
  }
  if (state.flood !== null) return [keep(state, alarm, at, []), []]
  if (isFlood(raises, at)) return beginFlood(keep(state, alarm, at, []), at, rules)
  return tell(state, alarm, at, rules, 'raised')
}

/** Tells the first contact. Without any contact it is remembered as told to nobody. */
function tell(state: TellingState, alarm: Alarm, at: Instant, rules: TellingRules, what: MessageKind): Step {
  const [first] = rules.contacts
  const contacts = first === undefined ? [] : [first.id]
  return [
    keep(state, alarm, at, contacts),
    contacts.map((contact): Say => ({ what, contact, alarms: [alarm], at })),
  ]
}

function keep(state: TellingState, alarm: Alarm, at: Instant, contacts: readonly ContactId[]): TellingState {
  const known = state.told[alarm.id]
  const told: Told = {
    alarm,
    since: at,
    contacts: merged(known?.contacts ?? [], contacts),
    lastAt: at,
    repeats: 0,
  }
  return { ...state, told: { ...state.told, [alarm.id]: told } }
}

function returned(state: TellingState, alarm: Alarm, at: Instant): Step {
  const told = state.told[alarm.id]
  if (told === undefined) return [state, []]
  const says = told.contacts.map((contact): Say => ({ what: 'returned', contact, alarms: [alarm], at }))
  const isChattering = at < (state.chattering[alarm.id] ?? -Infinity) + chatterQuiet
  return [withoutTold(state, alarm.id), isChattering ? [] : says]
}

function undeliverable(
  state: TellingState,
  event: Extract<TellingEvent, { kind: 'undeliverable' }>,
  rules: TellingRules,
): Step {
  const told = state.told[event.alarm]
  if (told === undefined || told.alarm.priority !== 'high') return [state, []]
  // Somebody else has been told since: nothing is waiting on the one who could not be reached.
  if (told.contacts.at(-1) !== event.contact) return [state, []]
  return escalate(state, told, event.at, rules)
}

function timePassed(before: TellingState, at: Instant, isMorning: boolean, rules: TellingRules): Step {
  let state = before
  const says: Say[] = []
  const take = ([next, more]: Step) => {
    state = next
    says.push(...more)
  }
  if (state.flood !== null) take(passFlood(state, at, rules))
  if (state.flood === null)
    for (const told of Object.values(state.told))
      if (told !== undefined) take(passTold(state, told, at, rules))
  if (isMorning) take(sumUp(state, at, rules))
  return [state, says]
}

function passTold(state: TellingState, told: Told, at: Instant, rules: TellingRules): Step {
  if (told.alarm.priority === 'medium') {
    if (told.repeats > 0 || at < told.lastAt + rules.telling.againAfter) return [state, []]
    const all = rules.contacts.map((contact) => contact.id)
    return sayTo(state, told, all, at, 'again')
  }
  if (isEscalationDue(told, at, rules)) return escalate(state, told, at, rules)
  if (at < told.lastAt + repeatAfter(told, rules)) return [state, []]
  return sayTo(state, told, told.contacts, at, 'again')
}

function escalate(state: TellingState, told: Told, at: Instant, rules: TellingRules): Step {
  const next = rules.contacts.find((contact) => !told.contacts.includes(contact.id))
  if (next === undefined) return [state, []]
  const [escalated] = sayTo(state, told, [...told.contacts, next.id], at, 'raised')
  // Those already told hear it again at the same time, so that everybody knows of everybody.
  const again = told.contacts.map((contact): Say => ({ what: 'again', contact, alarms: [told.alarm], at }))
  return [escalated, [...again, { what: 'raised', contact: next.id, alarms: [told.alarm], at }]]
}

function sayTo(
  state: TellingState,
  told: Told,
  contacts: readonly ContactId[],
  at: Instant,
  what: MessageKind,
): Step {
  const next: Told = {
    ...told,
    contacts: merged(told.contacts, contacts),
    lastAt: at,
    repeats: told.repeats + 1,
  }
  const says = contacts.map((contact): Say => ({ what, contact, alarms: [told.alarm], at }))
  return [{ ...state, told: { ...state.told, [told.alarm.id]: next } }, says]
}

function isEscalationDue(told: Told, at: Instant, { contacts, telling }: TellingRules): boolean {
  const isAnyLeft = contacts.some((contact) => !told.contacts.includes(contact.id))
  return isAnyLeft && at >= told.since + Math.max(1, told.contacts.length) * telling.escalateAfter
}

const repeatAfter = (told: Told, { telling }: TellingRules): number =>
  told.lastAt - told.since < ringsOftenFor ? telling.repeatEvery : Math.max(ringsSeldom, telling.repeatEvery)

function dueTimes(told: Told, rules: TellingRules): number[] {
  if (told.alarm.priority === 'medium')
    return told.repeats > 0 ? [] : [told.lastAt + rules.telling.againAfter]
  const isAnyLeft = rules.contacts.some((contact) => !told.contacts.includes(contact.id))
  const escalation = isAnyLeft
    ? [told.since + Math.max(1, told.contacts.length) * rules.telling.escalateAfter]
    : []
  return [...escalation, ...(told.contacts.length === 0 ? [] : [told.lastAt + repeatAfter(told, rules)])]
}

function beginFlood(state: TellingState, at: Instant, rules: TellingRules): Step {
  const [first] = rules.contacts
  const contacts = first === undefined ? [] : [first.id]
  return [{ ...state, flood: { since: at, lastAt: at, contacts } }, floodSays(state, contacts, at)]
}

/** While it lasts one message stands for all; it rings and escalates as its worst alarm would. */
function passFlood(state: TellingState, at: Instant, rules: TellingRules): Step {
  const { flood } = state
  if (flood === null) return [state, []]
  if (isFloodOver(state.raises, at)) {
    // What nobody has answered is told on its own from here.
    const told = Object.fromEntries(
      Object.entries(state.told).map(([id, one]) => [
        id,
        one === undefined
          ? one
          : { ...one, since: at, lastAt: at, contacts: merged(one.contacts, flood.contacts) },
      ]),
    )
    return [{ ...state, told, flood: null }, []]
  }
  const open = Object.values(state.told).filter((told) => told?.alarm.priority === 'high')
  if (open.length === 0 || at < flood.lastAt + rules.telling.repeatEvery) return [state, []]
  const next =
    at >= flood.since + flood.contacts.length * rules.telling.escalateAfter
      ? rules.contacts.find((contact) => !flood.contacts.includes(contact.id))
      : undefined
  const contacts = next === undefined ? flood.contacts : [...flood.contacts, next.id]
  return [{ ...state, flood: { ...flood, lastAt: at, contacts } }, floodSays(state, contacts, at)]
}

function floodSays(state: TellingState, contacts: readonly ContactId[], at: Instant): Say[] {
  const alarms = Object.values(state.told).flatMap((told) => (told === undefined ? [] : [told.alarm]))
  return contacts.map((contact): Say => ({ what: 'flood', contact, alarms, at }))
}

function sumUp(state: TellingState, at: Instant, rules: TellingRules): Step {
  const [first] = rules.contacts
  const summed = { ...state, low: [], summedAt: at }
  if (state.low.length === 0 || first === undefined) return [summed, []]
  return [summed, [{ what: 'summary', contact: first.id, alarms: state.low.map(({ alarm }) => alarm), at }]]
}

function withoutTold(state: TellingState, alarm: AlarmId): TellingState {
  if (state.told[alarm] === undefined) return state
  const told = { ...state.told }
  delete told[alarm]
  return { ...state, told }
}

const merged = (one: readonly ContactId[], other: readonly ContactId[]): readonly ContactId[] => [
  ...one,
  ...other.filter((contact) => !one.includes(contact)),
]
