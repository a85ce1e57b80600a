import type { Alarm } from '../../schemas/alarm.ts'
import { hours, later, minutes } from '../../schemas/amounts.ts'
import type { Channel, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { Message, MessageKind, Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import type { TellingRules } from '../../shared/telling/audience.ts'
import { jumpTelling } from '../../shared/telling/clock-jump.ts'
import { stepTelling, type TellingEvent } from '../../shared/telling/escalation.ts'
import { compose } from '../../shared/telling/message.ts'
import { lastMorning } from '../../shared/telling/morning.ts'
import type { Say, TellingState } from '../../shared/telling/telling-state.ts'
import { channelIn, contactIn } from './contacts.ts'
import { type MessageSources, messageWorld } from './message-world.ts'
import { say } from '../../shared/words/say.ts'

/** What telling asks to be kept and sent after one step. */
export interface Told {
  readonly parcels: readonly Parcel[]
  /** Alarms that nobody need be rung about any more, and why in a few words. */
  readonly settled: readonly { readonly alarm: AlarmId; readonly why: string }[]
  readonly hasChanged: boolean
}

export interface Teller {
  state(): TellingState
  /** What came of the last events was not kept and did not happen. */
  goBackTo(state: TellingState): void
  /** What one step of the watch means to people. */
  take(effects: readonly WatchEffect[], watch: WatchState, now: Instant): Told
  /** Time alone: repeats, escalations, mornings. */
  pass(watch: WatchState, now: Instant): Told
  /** The clock was set: what was said keeps its age (N3). */
  jump(was: Instant, at: Instant): void
  outOfReach(contact: ContactId, watch: WatchState, now: Instant): Told
  /** The message as it would be said now; null where it is no longer true. */
  refresh(parcel: Parcel, watch: WatchState, now: Instant): Message | null
  /** The keeper's own test of one channel. */
  ring(contact: Contact, channel: Channel, watch: WatchState, now: Instant): Parcel
}

/** From what the watch did to parcels, one for each channel of each contact who is to hear. */
export function makeTeller(before: TellingState, sources: MessageSources): Teller {
  let state = before

  const compose_ = (say: Say, watch: WatchState, contact: Contact, channel: Channel): Message =>
    compose(say, messageWorld(sources, watch, contact, channel, say.at))

  function step(event: TellingEvent, watch: WatchState, into: Parcel[], now: Instant): void {
    const [next, says] = stepTelling(state, event, rulesOf(watch))
    state = next
    for (const say of says) {
      const contact = contactIn(watch.layout.household, say.contact)
      for (const channel of contact?.channels ?? [])
        if (contact !== undefined)
          into.push(parcelOf(say, contact, channel, compose_(say, watch, contact, channel), now))
    }
  }

  /** Null: this morning's tasks were told, or nobody wants them. */
  function tasksFor(morning: Instant, watch: WatchState, now: Instant): readonly string[] | null {
    const { tasksToday } = sources
    const { morningList } = watch.layout.household.telling
    if (tasksToday === undefined || (state.listedFor ?? -Infinity) >= morning) return null
    // Of the morning in which this began, or was switched on, nothing is told: it may be long past.
    if (state.listedFor === undefined || !morningList || now >= later(morning, listWorthFor)) return []
    try {
      return tasksToday()
    } catch {
      return [] // a diary that cannot be read must not keep alarms from being told (N2)
    }
  }

  return {
    state: () => state,
    goBackTo(before) {
      state = before
    },
    take(effects, watch, now) {
      const was = state
      const parcels: Parcel[] = []
      const settled: { alarm: AlarmId; why: string }[] = []
      const told = new Set(effects.flatMap((effect) => (effect.kind === 'tell' ? [effect.alarm.id] : [])))
      for (const effect of effects) {
        if (effect.kind === 'tell')
          step({ kind: effect.why, alarm: effect.alarm, at: now }, watch, parcels, now)
        else if (effect.kind === 'alarm') {
          const { alarm } = effect
          if (alarm.state.name === 'unacknowledged') continue
          settled.push({ alarm: alarm.id, why: whySettled(alarm) })
          if (alarm.state.name === 'acknowledged')
            step({ kind: 'answered', alarm: alarm.id }, watch, parcels, now)
          else if (!told.has(alarm.id)) step({ kind: 'forgotten', alarm: alarm.id }, watch, parcels, now)
        }
      }
      return { parcels, settled, hasChanged: state !== was }
    },
    pass(watch, now) {
      const was = state
      const parcels: Parcel[] = []
      const morning = morningOf(watch.layout.household, now)
      const tasks = tasksFor(morning, watch, now)
      step({ kind: 'timePassed', at: now, morning, ...(tasks !== null && { tasks }) }, watch, parcels, now)
      return { parcels, settled: [], hasChanged: state !== was }
    },
    jump(was, at) {
      state = jumpTelling(state, was, at)
    },
    outOfReach(contact, watch, now) {
      const was = state
      const parcels: Parcel[] = []
      step({ kind: 'outOfReach', contact, at: now }, watch, parcels, now)
      return { parcels, settled: [], hasChanged: state !== was }
    },
    refresh(parcel, watch, now) {
      const { household } = watch.layout
      const contact = contactIn(household, parcel.contact)
      const channel = channelIn(household, parcel.contact, parcel.channel)
      if (contact === undefined || channel === undefined) return null
      const alarm = parcel.alarm === null ? null : (watch.alarms.get(parcel.alarm) ?? null)
      const say = sayAgain(parcel.kind, parcel, alarm, state, now)
      if (say === null) return null
      return say === 'as it is' ? parcel.message : compose_(say, watch, contact, channel)
    },
    ring(contact, channel, watch, now) {
      const say: Say = { what: 'ring', contact: contact.id, alarms: [], at: now }
      return parcelOf(say, contact, channel, compose_(say, watch, contact, channel), now)
    },
  }
}

/** In the afternoon a list of the morning is no help any more. Derived. */
const listWorthFor: Millis = hours(4)

function rulesOf({ layout, alarms }: WatchState): TellingRules {
  const { contacts, telling } = layout.household
  const unreached = [...alarms.values()].filter(
    (alarm) => alarm.kind === 'undeliverable' && isConditionOut(alarm.state),
  )
  return {
    contacts: contacts.filter(({ channels }) => channels.length > 0),
    outOfReach: new Set(unreached.flatMap(({ contact }) => (contact === null ? [] : [contact]))),
    telling,
  }
}

/** Whoever gets the summary decides when it is morning: the end of quiet hours, else of the household's night. */
function morningOf(household: Household, now: Instant): Instant {
  const first = household.contacts.find(({ channels }) => channels.length > 0)
  return lastMorning(now, first?.timeZone ?? household.timeZone, first?.quiet ?? household.night)
}

function whySettled(alarm: Alarm): string {
  switch (alarm.state.name) {
    case 'acknowledged':
      return say('{by} answered it first.', { by: alarm.state.by })
    case 'shelved':
    case 'suppressed':
    case 'outOfService':
      return say('{by} has hidden it.', { by: alarm.state.by })
    case 'normal':
    case 'returnedUnacknowledged':
      return say('It is over.')
    case 'unacknowledged':
      return say('It was raised again.')
    default:
      return alarm.state satisfies never
  }
}

/** What is still worth saying of a message that waited; null for nothing. */
function sayAgain(
  kind: MessageKind,
  parcel: Parcel,
  alarm: Alarm | null,
  state: TellingState,
  now: Instant,
): Say | 'as it is' | null {
  const isSameRaising = alarm !== null && alarm.occurrence === parcel.occurrence
  switch (kind) {
    case 'raised':
    case 'again':
    case 'chattering':
      if (!isSameRaising || alarm.state.name !== 'unacknowledged') return null
      return { what: kind, contact: parcel.contact, alarms: [alarm], at: now }
    case 'returned':
      return !isSameRaising || alarm.state.name === 'unacknowledged' ? null : 'as it is'
    case 'flood': {
      if (state.flood === null) return null
      const alarms = Object.values(state.told).flatMap((told) =>
        told === undefined || told.isAnswered ? [] : [told.alarm],
      )
      return alarms.length === 0 ? null : { what: kind, contact: parcel.contact, alarms, at: now }
    }
    case 'floodOver':
      return state.flood === null ? 'as it is' : null
    case 'summary':
    case 'ring':
      return 'as it is'
    default:
      return kind satisfies never
  }
}

/** After this a message is not worth a phone's attention. Design choices; what rings is said afresh at each try. */
const worthFor: Record<MessageKind, Millis> = {
  raised: hours(24),
  again: hours(24),
  chattering: hours(2),
  flood: hours(2),
  floodOver: hours(2),
  returned: hours(6),
  summary: hours(12),
  ring: minutes(10),
}

function parcelOf(say: Say, contact: Contact, channel: Channel, message: Message, now: Instant): Parcel {
  const isOne =
    say.what === 'raised' || say.what === 'again' || say.what === 'chattering' || say.what === 'returned'
  const alarm = isOne ? (say.alarms[0] ?? null) : null
  const about = alarm === null ? 'house' : `${alarm.id}/${alarm.occurrence}`
  return {
    key: `${about}/${say.what}/${now.toString(36)}/${channel.id}`,
    kind: say.what,
    contact: contact.id,
    channel: channel.id,
    alarm: alarm?.id ?? null,
    occurrence: alarm?.occurrence ?? 0,
    message,
    bornAt: now,
    dueAt: now,
    expiresAt: later(now, worthFor[say.what]),
    tries: 0,
    state: 'waiting',
    outcome: null,
  }
}
