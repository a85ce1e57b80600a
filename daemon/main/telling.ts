import type { JournalEntry } from '../../schemas/journal.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import { allChannels, channelIdsOf, channelIn } from '../app/contacts.ts'
import type { House } from '../app/house.ts'
import { openOutbox } from '../app/outbox.ts'
import { openTellingDesk } from '../app/telling-desk.ts'
import { templateMistakes } from '../notify/webhook-template.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { OutboxStore, Senders } from '../ports/outbox.ts'
import type { PeopleStore } from '../ports/people.ts'

/** The outbox and the desk over it, each told of the other, and the house of both. */
export function openTelling(world: {
  readonly house: House
  readonly store: OutboxStore
  readonly people: PeopleStore
  readonly senders: Senders
  readonly pushKey: string
  readonly address: () => string
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
}) {
  const { house, store, people, senders, clock, timer, log } = world
  const household = () => house.state().layout.household
  const outbox = openOutbox({
    store,
    senders,
    clock,
    timer,
    random: Math.random,
    log,
    channelOf: (contact, channel) => channelIn(household(), contact, channel) ?? null,
    channelsOf: (contact) => channelIdsOf(household(), contact),
    allChannels: () => allChannels(household()),
    refresh: (parcel) => house.refresh(parcel),
    on: {
      delivered: (parcel) => house.note(toldLine(parcel, 'told', clock.now())),
      failed: (parcel) => house.note(toldLine(parcel, 'notTold', clock.now())),
      gone: (contact, channel, sentence) => telling.dropChannel(contact, channel, sentence),
      reach: ({ contact, isReached, sentence }) => house.reach(contact, isReached, sentence),
    },
  })
  const telling = openTellingDesk({
    house,
    clock,
    outbox,
    store,
    senders,
    pushKey: world.pushKey,
    address: world.address,
    isPerson: (id) => people.people().some((person) => person.id === id),
    mistakesOf: (channel) =>
      channel.kind === 'webhook' ? templateMistakes(channel.template, channel.contentType) : [],
  })
  house.sendBy(outbox)
  return { outbox, telling }
}

/** What the journal keeps of one message. */
function toldLine(parcel: Parcel, kind: 'told' | 'notTold', at: Instant): JournalEntry {
  const { alarm, contact, channel, message, outcome } = parcel
  return {
    at,
    kind,
    by: 'brumal',
    contact,
    channel,
    ...(alarm === null ? {} : { alarm }),
    text: `“${message.title}”. ${outcome ?? ''}`.trim().slice(0, 500),
  }
}
