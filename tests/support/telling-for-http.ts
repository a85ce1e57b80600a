import type { Desk } from '../../daemon/ports/desk.ts'
import type { Channel, ChannelSecret, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { ChannelId, ContactId, PersonId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { ChannelNow, MessageLine } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'

type TellingOfDesk = Pick<
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
>

export interface TellingForHttp extends TellingOfDesk {
  /** What no answer may hold. */
  readonly channelSecrets: ReadonlyMap<ChannelId, ChannelSecret>
}

/** At most this many contacts and channels each, as in the schemas of the household. */
const most = { contacts: 20, channels: 10 } as const

/** Contacts and their channels in the household of a desk in memory; every test rings at once. */
export function tellingForHttp(world: {
  readonly household: () => Household
  readonly save: (household: Household) => void
  readonly now: () => Instant
  readonly isPerson: (id: PersonId) => boolean
  readonly done: (kind: JournalEntry['kind'], by: string, text: string) => void
}): TellingForHttp {
  const { household, now, done } = world
  const secrets = new Map<ChannelId, ChannelSecret>()
  const rungAt = new Map<ChannelId, Instant>()
  const sent: MessageLine[] = []

  const contactOf = (id: ContactId) => household().contacts.find((contact) => contact.id === id)
  const channelOf = (contact: ContactId, id: ChannelId) =>
    contactOf(contact)?.channels.find((channel) => channel.id === id)
  const change = (contacts: readonly Contact[], by: string, text: string) => {
    world.save({ ...household(), contacts: [...contacts] })
    done('changed', by, text)
  }
  const over = <Item extends { readonly id: string }>(items: readonly Item[], item: Item): Item[] =>
    items.some(({ id }) => id === item.id)
      ? items.map((each) => (each.id === item.id ? item : each))
      : [...items, item]
  const channelNow = (channel: Channel): ChannelNow => ({
    channel,
    hasSecret: secrets.has(channel.id),
    condition: 'unknown',
    lastSentence: null,
    lastAt: null,
    rungAt: rungAt.get(channel.id) ?? null,
    isRingDue: !rungAt.has(channel.id),
  })

  return {
    channelSecrets: secrets,
    telling: () => ({
      contacts: household().contacts.map((contact) => ({
        contact,
        channels: contact.channels.map(channelNow),
      })),
      telling: household().telling,
      kinds: { push: true, relay: true, mail: false, webhook: true },
      pushKey: 'the public half of the push key',
      address: 'https://brumal.home.example',
    }),
    saveContact(given, by) {
      const known = contactOf(given.id)
      if (known === undefined && household().contacts.length >= most.contacts)
        return refused('tooMany', 'No more contacts.')
      if (given.person !== null && !world.isPerson(given.person))
        return refused('noSuchPerson', 'Nobody signs in by that name.')
      const contact = { ...given, channels: known?.channels ?? [] }
      change(over(household().contacts, contact), by, contact.name)
      return { ok: true, value: contact }
    },
    removeContact(id, by) {
      const known = contactOf(id)
      if (known === undefined) return noSuchContact
      for (const channel of known.channels) secrets.delete(channel.id)
      change(
        household().contacts.filter((contact) => contact.id !== id),
        by,
        id,
      )
      return { ok: true, value: null }
    },
    saveTelling(order, telling, by) {
      if (order.some((id) => contactOf(id) === undefined)) return noSuchContact
      const rank = ({ id }: Contact) => (order.includes(id) ? order.indexOf(id) : order.length)
      const contacts = household().contacts.toSorted((one, other) => rank(one) - rank(other))
      world.save({ ...household(), contacts, telling })
      done('changed', by, 'telling')
      return { ok: true, value: null }
    },
    saveChannel(id, channel, secret, by) {
      const contact = contactOf(id)
      if (contact === undefined) return noSuchContact
      if (secret !== null && secret.kind !== channel.kind)
        return refused('badChannel', 'The secret is of another kind of channel.')
      const channels = over(contact.channels, channel)
      if (channels.length > most.channels) return refused('tooMany', 'No more channels.')
      if (secret !== null) secrets.set(channel.id, secret)
      change(over(household().contacts, { ...contact, channels }), by, channel.label)
      return { ok: true, value: channel }
    },
    removeChannel(id, channel, by) {
      const contact = contactOf(id)
      if (contact === undefined) return noSuchContact
      if (channelOf(id, channel) === undefined) return noSuchChannel
      const channels = contact.channels.filter((each) => each.id !== channel)
      secrets.delete(channel)
      change(over(household().contacts, { ...contact, channels }), by, channel)
      return { ok: true, value: null }
    },
    async ring(contact, channel, by) {
      if (contactOf(contact) === undefined) return noSuchContact
      if (channelOf(contact, channel) === undefined) return noSuchChannel
      const line: MessageLine = {
        key: `ring:${channel}:${sent.length + 1}`,
        kind: 'ring',
        contact,
        channel,
        alarm: null,
        title: 'A test',
        text: 'Does this really ring?',
        priority: 'high',
        bornAt: now(),
        dueAt: null,
        tries: 1,
        state: 'delivered',
        outcome: 'The receiver took it.',
      }
      sent.unshift(line)
      done('told', by, channel)
      return { ok: true, value: line }
    },
    rang(contact, channel, by) {
      if (contactOf(contact) === undefined) return noSuchContact
      if (channelOf(contact, channel) === undefined) return noSuchChannel
      rungAt.set(channel, now())
      done('rang', by, channel)
      return { ok: true, value: null }
    },
    messages: (limit) => sent.slice(0, limit),
  }
}

const refused = <Code extends string>(error: Code, sentence: string) =>
  ({ ok: false, error, sentence }) as const
const noSuchContact = refused('noSuchContact', 'There is no such contact.')
const noSuchChannel = refused('noSuchChannel', 'There is no such channel.')
