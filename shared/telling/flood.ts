import type { ContactId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { audience, merged, nextContact, type TellingRules, untilReached } from './audience.ts'
import { isFloodOver } from './raise-log.ts'
import type { Say, TellingState, TellingStep } from './telling-state.ts'

/** From here on no alarm is told on its own, but all of them in one message (A5). */
export function beginFlood(state: TellingState, at: Instant, rules: TellingRules): TellingStep {
  const contacts = untilReached(rules, audience(rules, []))
  return [{ ...state, flood: { since: at, lastAt: at, contacts } }, floodSays(state, contacts, at)]
}

/** While it lasts one message stands for all; it rings and escalates as its worst alarm would. */
export function passFlood(state: TellingState, at: Instant, rules: TellingRules): TellingStep {
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
    const left = Object.values(told).flatMap((one) =>
      one === undefined || one.isAnswered ? [] : [one.alarm],
    )
    const says = flood.contacts.map((contact): Say => ({ what: 'floodOver', contact, alarms: left, at }))
    return [{ ...state, told, flood: null }, says]
  }
  const open = Object.values(state.told).filter((told) => told?.alarm.priority === 'high' && !told.isAnswered)
  if (open.length === 0 || at < flood.lastAt + rules.telling.repeatEvery) return [state, []]
  const isNextDue = at >= flood.since + flood.contacts.length * rules.telling.escalateAfter
  const left = audience(rules, []).filter((contact) => !flood.contacts.includes(contact))
  const contacts = isNextDue ? [...flood.contacts, ...untilReached(rules, left)] : flood.contacts
  return [{ ...state, flood: { ...flood, lastAt: at, contacts } }, floodSays(state, contacts, at)]
}

/** Where the last who was told of it is the one who cannot be reached, the next is told at once. */
export function handFloodOn(
  state: TellingState,
  contact: ContactId,
  at: Instant,
  rules: TellingRules,
): TellingStep {
  if (state.flood === null || state.flood.contacts.at(-1) !== contact) return [state, []]
  const next = nextContact(state.flood.contacts, audience(rules, []))
  if (next === undefined) return [state, []]
  const flood = { ...state.flood, lastAt: at, contacts: [...state.flood.contacts, next] }
  return [{ ...state, flood }, floodSays(state, [next], at)]
}

function floodSays(state: TellingState, contacts: readonly ContactId[], at: Instant): Say[] {
  const alarms = Object.values(state.told).flatMap((told) =>
    told === undefined || told.isAnswered ? [] : [told.alarm],
  )
  return contacts.map((contact): Say => ({ what: 'flood', contact, alarms, at }))
}
