import { days } from '../../schemas/amounts.ts'
import type { Channel, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { ChannelId, ContactId, PersonId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { ChannelNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { OutboxStore, Senders } from '../ports/outbox.ts'
import type { Outcome } from '../ports/outcome.ts'
import { changeSecret, readSecret } from './channel-secrets.ts'
import { channelIn, contactIn } from './contacts.ts'
import type { House } from './house.ts'
import { notStored } from './not-stored.ts'
import type { Outbox } from './outbox.ts'
import { say } from '../../shared/words/say.ts'

/** A test is asked for again after this: phones change their settings by themselves. A design choice. */
export const ringEvery: Millis = days(30)

export interface TellingWorld {
  readonly house: House
  readonly clock: Clock
  readonly outbox: Pick<Outbox, 'conditionOf' | 'recent' | 'firstTry' | 'secretChanged'>
  readonly store: OutboxStore
  readonly senders: Senders
  readonly pushKey: string
  readonly address: () => string
  readonly isPerson: (person: PersonId) => boolean
  /** What is wrong with a channel beyond its shape: a webhook's template; empty for a good one. */
  readonly mistakesOf: (channel: Channel) => readonly string[]
}

type TellingDesk = Pick<
  Desk,
  | 'telling'
  | 'saveContact'
  | 'removeContact'
  | 'saveTelling'
  | 'saveChannel'
  | 'removeChannel'
  | 'ring'
  | 'rang'
  | 'messages'
> & {
  /** The receiver says that this channel is no more: it is removed, and the journal says so. */
  dropChannel(contact: ContactId, channel: ChannelId, sentence: string): void
  /** Whether any channel has been heard to ring in the last 30 days (S1). */
  hasRung(): boolean
}

/** Who is told, by what, and whether it rings. */
export function openTellingDesk(world: TellingWorld): TellingDesk {
  const { house, clock, outbox, store } = world
  const household = (): Household => house.state().layout.household
  const contactOf = (id: string) => contactIn(household(), id)
  const channelOf = (contact: string, id: string) => channelIn(household(), contact, id)
  const at = () => clock.now()

  /** False where it cannot be stored, and was not made. */
  function change(contacts: readonly Contact[], by: string, entry: Omit<JournalEntry, 'at' | 'by'>): boolean {
    return house.rehouse({ ...household(), contacts: [...contacts] }, { at: at(), by, ...entry })
  }

  const withContact = (contact: Contact): readonly Contact[] => {
    const { contacts } = household()
    const i = contacts.findIndex(({ id }) => id === contact.id)
    return i < 0 ? [...contacts, contact] : contacts.with(i, contact)
  }

  const isRecent = (rungAt: number | null): boolean => rungAt !== null && at() - rungAt < ringEvery

  function channelNow(channel: Channel): ChannelNow {
    const rungAt = store.rungAt(channel.id)
    const { condition, lastSentence, lastAt } = outbox.conditionOf(channel.id)
    return {
      channel,
      // One that cannot be read is none: the page must still show, for it to be given anew.
      hasSecret: (readSecret(store, channel.id) ?? null) !== null,
      condition,
      lastSentence,
      lastAt,
      rungAt,
      isRingDue: !isRecent(rungAt),
    }
  }

  function forget(channels: readonly Channel[]): void {
    for (const { id } of channels) {
      store.forgetChannelSecret(id)
      outbox.secretChanged(id)
    }
  }

  return {
    telling: (): TellingNow => ({
      contacts: household().contacts.map((contact) => ({
        contact,
        channels: contact.channels.map(channelNow),
      })),
      telling: household().telling,
      kinds: {
        push: world.senders.push !== null,
        relay: world.senders.relay !== null,
        mail: world.senders.mail !== null,
        webhook: world.senders.webhook !== null,
      },
      pushKey: world.pushKey,
      address: world.address(),
    }),

    saveContact(given, by) {
      const known = contactOf(given.id)
      if (known === undefined && household().contacts.length >= mostContacts)
        return refused('tooMany', say('At most {mostContacts} contacts.', { mostContacts }))
      if (given.person !== null && !world.isPerson(given.person))
        return refused('noSuchPerson', say('There is no such sign-in.'))
      const contact = { ...given, channels: known?.channels ?? [] }
      const isKept = change(withContact(contact), by, {
        kind: 'changed',
        contact: contact.id,
        text: say('Saved the contact {contact}.', { contact: contact.name }),
      })
      return isKept ? { ok: true, value: contact } : notStored
    },

    removeContact(id, by) {
      const known = contactOf(id)
      if (known === undefined) return refused('noSuchContact', say('There is no such contact.'))
      const isKept = change(
        household().contacts.filter((contact) => contact.id !== id),
        by,
        { kind: 'changed', text: say('Removed the contact {known}.', { known: known.name }) },
      )
      if (!isKept) return notStored
      forget(known.channels)
      return { ok: true, value: null }
    },

    saveTelling(order, telling, by) {
      const { contacts } = household()
      const rank = (id: ContactId): number => (order.includes(id) ? order.indexOf(id) : order.length)
      const sorted = contacts.toSorted((one, other) => rank(one.id) - rank(other.id))
      const names = sorted.map(({ name }) => name).join(', ')
      const isKept = house.rehouse(
        { ...household(), contacts: sorted, telling },
        {
          at: at(),
          by,
          kind: 'changed',
          text: say('People are told in this order: {names}.', { names: names || say('nobody') }).slice(
            0,
            500,
          ),
        },
      )
      return isKept ? { ok: true, value: null } : notStored
    },

    saveChannel(contactId, channel, secret, by) {
      const contact = contactOf(contactId)
      if (contact === undefined) return refused('noSuchContact', say('There is no such contact.'))
      const owner = household().contacts.find(({ channels }) => channels.some(({ id }) => id === channel.id))
      const known = channelOf(contactId, channel.id)
      if (owner !== undefined && owner.id !== contact.id)
        return refused(
          'badChannel',
          say("This channel is {owner}'s already; remove it there first.", { owner: owner.name }),
        )
      if (known !== undefined && known.kind !== channel.kind)
        return refused('badChannel', say('A channel cannot become one of another kind: add a new one.'))
      if (secret !== null && secret.kind !== channel.kind)
        return refused('badChannel', say('What is kept secret belongs to a channel of another kind.'))
      if (channel.kind === 'push' && secret === null && store.channelSecret(channel.id) === null)
        return refused('badChannel', say('A browser that is to ring has to ask for it itself.'))
      const [mistake] = world.mistakesOf(channel)
      if (mistake !== undefined) return refused('badChannel', mistake)
      if (known === undefined && contact.channels.length >= mostChannels)
        return refused('tooMany', say('At most {mostChannels} channels for one contact.', { mostChannels }))
      if (!house.isStoring()) return notStored
      // A token belongs to the host that it was made for, and must not go to another.
      const isMoved = known !== undefined && originOf(known) !== originOf(channel)
      // The secret first: a channel without its key would be tried, fail, and count as a failure.
      const takeBack = secret !== null || isMoved ? changeSecret(store, channel.id, secret) : () => {}
      const channels =
        known === undefined
          ? [...contact.channels, channel]
          : contact.channels.map((one) => (one.id === channel.id ? channel : one))
      const isKept = change(withContact({ ...contact, channels }), by, {
        kind: 'changed',
        contact: contact.id,
        channel: channel.id,
        text: say('{contact} is reached by {label}.', { contact: contact.name, label: channel.label }),
      })
      if (!isKept) takeBack()
      outbox.secretChanged(channel.id)
      return isKept ? { ok: true, value: channel } : notStored
    },

    removeChannel(contactId, id, by) {
      const contact = contactOf(contactId)
      if (contact === undefined) return refused('noSuchContact', say('There is no such contact.'))
      const known = channelOf(contactId, id)
      if (known === undefined) return refused('noSuchChannel', say('There is no such channel.'))
      const channels = contact.channels.filter((channel) => channel.id !== id)
      const isKept = change(withContact({ ...contact, channels }), by, {
        kind: 'changed',
        contact: contact.id,
        text: say('{contact} is no longer reached by {label}.', {
          contact: contact.name,
          label: known.label,
        }),
      })
      if (!isKept) return notStored
      forget([known])
      return { ok: true, value: null }
    },

    dropChannel(contactId, id, sentence) {
      const contact = contactOf(contactId)
      const known = channelOf(contactId, id)
      if (contact === undefined || known === undefined) return
      const channels = contact.channels.filter((channel) => channel.id !== id)
      const isKept = change(withContact({ ...contact, channels }), 'brumal', {
        kind: 'channelGone',
        contact: contact.id,
        channel: id,
        text: `${known.label}: ${sentence}`.slice(0, 500),
      })
      if (isKept) forget([known])
    },

    async ring(contactId, channelId) {
      const known = channelOf(contactId, channelId)
      if (known === undefined) return noSuch(contactOf(contactId))
      const parcel = house.ring(contactId, channelId)
      if (parcel === null) return noSuch(contactOf(contactId))
      return { ok: true, value: messageLine(await outbox.firstTry(parcel.key)) }
    },

    rang(contactId, channelId, by) {
      const known = channelOf(contactId, channelId)
      if (known === undefined) return noSuch(contactOf(contactId))
      const wasAt = store.rungAt(known.id)
      // The link of one message may be opened twice: once is enough for the journal.
      if (wasAt !== null && at() - wasAt < 60_000) return { ok: true, value: null }
      store.saveRing(known.id, at())
      house.note({ at: at(), by, kind: 'rang', contact: contactId, channel: channelId, text: known.label })
      return { ok: true, value: null }
    },

    messages: (limit) => outbox.recent(limit).map(messageLine),

    hasRung: () =>
      household().contacts.some(({ channels }) => channels.some(({ id }) => isRecent(store.rungAt(id)))),
  }
}

const originOf = (channel: Channel): string | null =>
  channel.kind === 'relay' || channel.kind === 'webhook' ? new URL(channel.url).origin : null

const mostContacts = 20
const mostChannels = 10

const refused = <Code extends EditRefusal>(error: Code, sentence: string) =>
  ({ ok: false, error, sentence }) as const satisfies Outcome<never, Code>

const noSuch = (contact: Contact | undefined) =>
  contact === undefined
    ? refused('noSuchContact', say('There is no such contact.'))
    : refused('noSuchChannel', say('There is no such channel.'))

/** Without the links: each is a key (X4). */
function messageLine(parcel: Parcel): MessageLine {
  const { key, kind, contact, channel, alarm, message, bornAt, dueAt, tries, state, outcome } = parcel
  return {
    key,
    kind,
    contact,
    channel,
    alarm,
    title: message.title,
    text: message.text,
    priority: message.priority,
    bornAt,
    dueAt: state === 'waiting' ? dueAt : null,
    tries,
    state,
    outcome,
  }
}
