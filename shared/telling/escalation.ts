import { hours, minutes } from '../../schemas/amounts.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { MessageKind } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { audience, merged, nextContact, type TellingRules, untilReached } from './audience.ts'
import { beginFlood, handFloodOn, passFlood } from './flood.ts'
import { isFlood, noteRaise, raisedOften } from './raise-log.ts'
import type { Say, TellingState, TellingStep, Told } from './telling-state.ts'

/** What telling hears of. */
export type TellingEvent =
  | { readonly kind: 'raised' | 'returned'; readonly alarm: Alarm; readonly at: Instant }
  /** Somebody acknowledged it. */
  | { readonly kind: 'answered'; readonly alarm: AlarmId }
  /** It was hidden, or ended without a word: it is nobody's any more. */
  | { readonly kind: 'forgotten'; readonly alarm: AlarmId }
  /** No channel of this contact works. */
  | { readonly kind: 'outOfReach'; readonly contact: ContactId; readonly at: Instant }
  /** `morning`: the last instant at which a night ended for whoever gets the summary. */
  | {
      readonly kind: 'timePassed'
      readonly at: Instant
      readonly morning: Instant
      /** What is to be done today, where this morning is a new one (S4). */
      readonly tasks?: readonly string[]
    }

/** After this long a ringing alarm rings less often: whoever can be woken has been. */
const ringsOftenFor: Millis = hours(1)
const ringsSeldom: Millis = minutes(15)
/** A chattering alarm is told once in this time. */
const chatterQuiet: Millis = minutes(10)

/**
 * Who is told what, and when (A4, A5): high rings its first contact, again and again, and one contact more after each
 * wait, until somebody answers; medium is told once and once again; low waits for the morning. What came back is told
 * once, to those who were told of it.
 */
export function stepTelling(state: TellingState, event: TellingEvent, rules: TellingRules): TellingStep {
  switch (event.kind) {
    case 'raised':
      return raised(state, event.alarm, event.at, rules)
    case 'returned':
      return returned(state, event.alarm, event.at)
    case 'answered':
      return [answered(state, event.alarm), []]
    case 'forgotten':
      return [withoutTold(state, event.alarm), []]
    case 'outOfReach':
      return outOfReach(state, event.contact, event.at, rules)
    case 'timePassed':
      return timePassed(state, event, rules)
    default:
      return event satisfies never
  }
}

function raised(before: TellingState, alarm: Alarm, at: Instant, rules: TellingRules): TellingStep {
  const raises = noteRaise(before.raises, alarm.id, at)
  const state = { ...before, raises }
  if (alarm.priority === 'low') return [{ ...state, low: [...state.low, { alarm, at }] }, []]

  const chatteringSince = state.chattering[alarm.id]
  if (chatteringSince !== undefined && at < chatteringSince + chatterQuiet)
    // Not rung now; but if it stays out, it is repeated like any other.
    return [keep(state, alarm, at, untilReached(rules, audience(rules, [alarm]))), []]
  if (raisedOften(raises, alarm.id, at)) {
    const chattering = { ...state.chattering, [alarm.id]: at }
    const [told, say] = tell({ ...state, chattering }, alarm, at, rules, 'chattering')
    return [told, say]
  }
  if (state.flood !== null) return [keep(state, alarm, at, []), []]
  if (isFlood(raises, at)) return beginFlood(keep(state, alarm, at, []), at, rules)
  return tell(state, alarm, at, rules, 'raised')
}

/** Tells the first contact who can be reached. Without any contact it is remembered as told to nobody. */
function tell(
  state: TellingState,
  alarm: Alarm,
  at: Instant,
  rules: TellingRules,
  what: MessageKind,
): TellingStep {
  const contacts = untilReached(rules, audience(rules, [alarm]))
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
    contacts: known === undefined || known.isAnswered ? contacts : merged(known.contacts, contacts),
    lastAt: at,
    repeats: 0,
    isAnswered: false,
  }
  return { ...state, told: { ...state.told, [alarm.id]: told } }
}

function returned(state: TellingState, alarm: Alarm, at: Instant): TellingStep {
  const told = state.told[alarm.id]
  if (told === undefined) return [state, []]
  const says = told.contacts.map((contact): Say => ({ what: 'returned', contact, alarms: [alarm], at }))
  const isChattering = at < (state.chattering[alarm.id] ?? -Infinity) + chatterQuiet
  return [withoutTold(state, alarm.id), isChattering ? [] : says]
}

function answered(state: TellingState, alarm: AlarmId): TellingState {
  const told = state.told[alarm]
  if (told === undefined || told.isAnswered) return state
  return { ...state, told: { ...state.told, [alarm]: { ...told, isAnswered: true } } }
}

/** Whatever waits on the one who cannot be reached goes to the next at once. */
function outOfReach(before: TellingState, contact: ContactId, at: Instant, rules: TellingRules): TellingStep {
  let state = before
  const says: Say[] = []
  for (const told of Object.values(before.told)) {
    if (told === undefined || told.isAnswered || told.contacts.at(-1) !== contact) continue
    const next = nextContact(told.contacts, audience(rules, [told.alarm]))
    if (next === undefined) continue
    const [more, words] = sayTo(state, told, [next], at, 'raised')
    state = more
    says.push(...words)
  }
  const [handedOn, more] = handFloodOn(state, contact, at, rules)
  return [handedOn, [...says, ...more]]
}

function timePassed(
  before: TellingState,
  { at, morning, tasks }: Extract<TellingEvent, { kind: 'timePassed' }>,
  rules: TellingRules,
): TellingStep {
  let state = tasks === undefined ? before : { ...before, listedFor: morning }
  const says: Say[] = []
  const take = ([next, more]: TellingStep) => {
    state = next
    says.push(...more)
  }
  if (state.flood !== null) take(passFlood(state, at, rules))
  if (state.flood === null)
    for (const told of Object.values(state.told))
      if (told !== undefined && !told.isAnswered) take(passTold(state, told, at, rules))
  if (state.low.some((low) => low.at < morning) || (tasks ?? []).length > 0)
    take(sumUp(state, at, morning, tasks ?? [], rules))
  return [state, says]
}

function passTold(state: TellingState, given: Told, at: Instant, rules: TellingRules): TellingStep {
  const told = setBack(given, at)
  if (told !== given)
    return passTold({ ...state, told: { ...state.told, [told.alarm.id]: told } }, told, at, rules)
  if (told.alarm.priority === 'medium') {
    if (told.repeats > 0 || at < told.lastAt + rules.telling.againAfter) return [state, []]
    return sayTo(state, told, audience(rules, [told.alarm]), at, 'again')
  }
  if (isEscalationDue(told, at, rules)) return escalate(state, told, at, rules)
  if (at < told.lastAt + repeatAfter(told, rules)) return [state, []]
  return sayTo(state, told, told.contacts, at, 'again')
}

/** A clock that was set back must not silence what rings until it has caught up (N3): the waits begin at its new time. */
function setBack(told: Told, at: Instant): Told {
  const ahead = told.lastAt - at
  return ahead <= 0 ? told : { ...told, since: (told.since - ahead) as Instant, lastAt: at }
}

function escalate(state: TellingState, told: Told, at: Instant, rules: TellingRules): TellingStep {
  const left = audience(rules, [told.alarm]).filter((contact) => !told.contacts.includes(contact))
  const next = untilReached(rules, left)
  const [escalated] = sayTo(state, told, [...told.contacts, ...next], at, 'raised')
  // Those already told hear it again at the same time, so that everybody knows of everybody.
  const again = told.contacts.map((contact): Say => ({ what: 'again', contact, alarms: [told.alarm], at }))
  const first = next.map((contact): Say => ({ what: 'raised', contact, alarms: [told.alarm], at }))
  return [escalated, [...again, ...first]]
}

function sayTo(
  state: TellingState,
  told: Told,
  contacts: readonly ContactId[],
  at: Instant,
  what: MessageKind,
): TellingStep {
  const next: Told = {
    ...told,
    contacts: merged(told.contacts, contacts),
    lastAt: at,
    repeats: told.repeats + 1,
  }
  const says = contacts.map((contact): Say => ({ what, contact, alarms: [told.alarm], at }))
  return [{ ...state, told: { ...state.told, [told.alarm.id]: next } }, says]
}

function isEscalationDue(told: Told, at: Instant, rules: TellingRules): boolean {
  const isAnyLeft = nextContact(told.contacts, audience(rules, [told.alarm])) !== undefined
  return isAnyLeft && at >= told.since + Math.max(1, told.contacts.length) * rules.telling.escalateAfter
}

const repeatAfter = (told: Told, { telling }: TellingRules): number =>
  told.lastAt - told.since < ringsOftenFor ? telling.repeatEvery : Math.max(ringsSeldom, telling.repeatEvery)

function sumUp(
  state: TellingState,
  at: Instant,
  morning: Instant,
  tasks: readonly string[],
  rules: TellingRules,
): TellingStep {
  const [first] = rules.contacts
  const alarms = state.low.filter((low) => low.at < morning).map(({ alarm }) => alarm)
  const rest = { ...state, low: state.low.filter((low) => low.at >= morning) }
  if (first === undefined) return [rest, []]
  return [rest, [{ what: 'summary', contact: first.id, alarms, ...(tasks.length > 0 && { tasks }), at }]]
}

function withoutTold(state: TellingState, alarm: AlarmId): TellingState {
  if (state.told[alarm] === undefined) return state
  const told = { ...state.told }
  delete told[alarm]
  return { ...state, told }
}
