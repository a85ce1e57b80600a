import { createECDH, createHash } from 'node:crypto'
import { templateMistakes } from '../../daemon/notify/webhook-template.ts'
import { later } from '../../schemas/amounts.ts'
import { Channel, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import { RingThisPhone } from '../../schemas/phone.ts'
import { MessageLine, SaveChannel, SaveTelling, TellingNow } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  common,
  inventedMessages,
  inventedPasts,
  noAnswer,
  type Past,
  untried,
} from './web-fixture-contacts.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'
import type { Scene } from './web-fixture-scene.ts'

/** Answers whoever is signed in about contacts, channels and messages; null for what is not its. */
export function fixtureTelling(world: {
  readonly scene: Scene
  readonly now: () => Instant
  readonly me: () => Person
  readonly household: () => Household
  readonly save: (contacts: Contact[], telling?: Household['telling']) => void
}): (
  method: string,
  parts: readonly string[],
  query: URLSearchParams,
  body: Record<string, unknown>,
) => Reply | null {
  const { scene, now, me, household, save } = world
  const pasts = inventedPasts(scene, now())
  const messages = inventedMessages(scene, now())
  const pushKey = createECDH('prime256v1').generateKeys('base64url')

  const put = <Item extends { readonly id: string }>(items: readonly Item[], item: Item): Item[] =>
    items.some(({ id }) => id === item.id)
      ? items.map((one) => (one.id === item.id ? item : one))
      : [...items, item]
  const saveContact = (contact: Contact): void => save(put(household().contacts, contact))
  const pastOf = (channel: string): Past => pasts.get(channel) ?? untried
  const telling = () =>
    TellingNow.parse({
      contacts: household().contacts.map((contact) => ({
        contact,
        channels: contact.channels.map((channel) => ({ channel, ...pastOf(channel.id) })),
      })),
      telling: household().telling,
      kinds: { push: true, relay: true, mail: scene !== 'unreached', webhook: true },
      pushKey,
      address: 'https://brumal.house.example',
    })

  const ofContact = (method: string, id: string, body: Record<string, unknown>): Reply => {
    const known = household().contacts.find((one) => one.id === id)
    if (method === 'DELETE') {
      save(household().contacts.filter((one) => one.id !== id))
      return nothing
    }
    const given = Contact.safeParse(body)
    if (!given.success) return invalid(given.error.issues)
    saveContact({ ...given.data, channels: known?.channels ?? [] })
    return ok(given.data)
  }

  const ofChannel = (
    method: string,
    contact: Contact,
    id: string,
    what: string,
    body: Record<string, unknown>,
  ): Reply => {
    if (method === 'PUT') {
      const given = SaveChannel.safeParse(body)
      if (!given.success) return invalid(given.error.issues)
      const { channel, secret } = given.data
      const [mistake] =
        channel.kind === 'webhook' ? templateMistakes(channel.template, channel.contentType) : []
      if (mistake !== undefined) return problem(422, 'badChannel', mistake)
      if (secret !== undefined) pasts.set(channel.id, { ...pastOf(channel.id), hasSecret: true })
      saveContact({ ...contact, channels: put(contact.channels, channel) })
      return ok(channel)
    }
    if (method === 'DELETE') {
      pasts.delete(id)
      saveContact({ ...contact, channels: contact.channels.filter((one) => one.id !== id) })
      return nothing
    }
    if (what === 'rang') {
      pasts.set(id, { ...pastOf(id), rungAt: now(), isRingDue: false })
      return nothing
    }
    const isFailing = pastOf(id).condition === 'failing'
    const line = MessageLine.parse({
      ...common,
      key: `ring-${messages.length}`,
      kind: 'ring',
      contact: contact.id,
      channel: id,
      title: 'Brumal rings',
      bornAt: now(),
      dueAt: isFailing ? later(now(), 5000) : null,
      state: isFailing ? 'waiting' : 'delivered',
      outcome: isFailing ? noAnswer : 'The push service took the message (201).',
    })
    messages.unshift(line)
    pasts.set(id, {
      ...pastOf(id),
      condition: isFailing ? 'failing' : 'working',
      lastSentence: line.outcome,
      lastAt: now(),
    })
    return ok(line)
  }

  const ringPhone = (body: Record<string, unknown>): Reply => {
    const given = RingThisPhone.safeParse(body)
    if (!given.success) return invalid(given.error.issues)
    const digest = createHash('sha256').update(given.data.endpoint).digest('hex')
    const channel = Channel.parse({
      id: `phone-${digest.slice(0, 12)}`,
      kind: 'push',
      label: given.data.label,
    })
    const known = household().contacts.find(({ person }) => person === me().id)
    const contact = known ?? Contact.parse({ id: me().id, name: me().name, person: me().id })
    pasts.set(channel.id, { ...untried, hasSecret: true })
    const changed = { ...contact, channels: put(contact.channels, channel) }
    saveContact(changed)
    return ok({ contact: changed, channel })
  }

  return (method, parts, query, body) => {
    const [room = '', id = '', what = '', channel = '', act = ''] = parts
    if (room === 'messages') return ok(messages.slice(0, Number(query.get('limit') ?? 50)))
    if (room === 'me' && id === 'phone') return method === 'GET' ? ok({ pushKey }) : ringPhone(body)
    if (room !== 'telling' && room !== 'contacts') return null
    if (me().role !== 'keeper') return problem(403, 'keeperOnly', 'Only a keeper may do this.')
    if (room === 'telling') {
      if (method === 'GET') return ok(telling())
      const given = SaveTelling.safeParse(body)
      if (!given.success) return invalid(given.error.issues)
      const rank = (contact: Contact): number => given.data.order.indexOf(contact.id)
      save(
        household().contacts.toSorted((one, other) => rank(one) - rank(other)),
        given.data.telling,
      )
      return ok(telling())
    }
    if (what !== 'channels') return ofContact(method, id, body)
    const contact = household().contacts.find((one) => one.id === id)
    return contact === undefined
      ? problem(404, 'noSuchContact', 'There is no such contact.')
      : ofChannel(method, contact, channel, act, body)
  }
}
