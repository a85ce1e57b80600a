import { createECDH, createHash } from 'node:crypto'
import { templateMistakes } from '../../daemon/notify/webhook-template.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { Channel, Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import { RingThisPhone } from '../../schemas/phone.ts'
import {
  type ChannelNow,
  MessageLine,
  SaveChannel,
  SaveTelling,
  TellingNow,
} from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'
import type { Scene } from './web-fixture-scene.ts'

type Past = Omit<ChannelNow, 'channel'>

/** Invented contacts: Robin is told first, then Bela. In `unreached` nothing of Bela's works, and tests are due. */
export const inventedContacts = (scene: Scene): Contact[] =>
  [
    {
      id: 'robin',
      name: 'Robin',
      person: 'robin',
      channels: [
        { id: 'robin-phone', kind: 'push', label: 'Android phone' },
        { id: 'robin-relay', kind: 'relay', label: 'Bedside relay', url: 'https://relay.house.example/dusk' },
      ],
    },
    {
      id: 'bela',
      name: 'Bela',
      person: 'bela',
      timeZone: 'Europe/Lisbon',
      units: 'fahrenheit',
      quiet: { from: '22:00', to: '06:30' },
      channels:
        scene === 'unreached'
          ? [{ id: 'bela-text', kind: 'webhook', label: 'Text messages', ...gateway }]
          : [{ id: 'bela-mail', kind: 'mail', label: 'Mail', address: 'bela@house.example' }],
    },
  ].map((contact) => Contact.parse(contact))

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

/** That Bela cannot be reached. */
export const unreachedAlarm = (now: Instant): Alarm => ({
  id: 'undeliverable:bela' as Alarm['id'],
  kind: 'undeliverable',
  place: null,
  sensor: null,
  contact: 'bela' as Alarm['contact'],
  quantity: null,
  limit: null,
  priority: 'medium',
  occurrence: 1,
  value: null,
  threshold: null,
  state: { name: 'unacknowledged', since: later(now, -minutes(48)) },
})

const gateway = {
  url: 'https://gateway.house.example/send',
  template: '{"to":"+000000","message":"{{title}} {{acknowledgeLink}}"}',
}

const noAnswer = 'The service at gateway.house.example did not answer in time.'

const untried: Past = {
  hasSecret: false,
  condition: 'unknown',
  lastSentence: null,
  lastAt: null,
  rungAt: null,
  isRingDue: true,
}

function inventedPasts(scene: Scene, now: Instant): Map<string, Past> {
  const works = (who: string, days_: number, rung: number): Past => ({
    hasSecret: true,
    condition: 'working',
    lastSentence: `${who} took the message (200).`,
    lastAt: later(now, -days(days_)),
    rungAt: later(now, -days(rung)),
    isRingDue: rung >= 30,
  })
  const isUnreached = scene === 'unreached'
  return new Map<string, Past>([
    ['robin-phone', works('The push service', 0.2, isUnreached ? 31 : 12)],
    ['robin-relay', works('The relay at relay.house.example', 2, 25)],
    ['bela-mail', works('The mail server', 3, 4)],
    [
      'bela-text',
      {
        ...untried,
        hasSecret: true,
        condition: 'failing',
        lastSentence: noAnswer,
        lastAt: later(now, -minutes(48)),
      },
    ],
  ])
}

const common = { alarm: null, text: '', priority: 'high', tries: 1, dueAt: null, outcome: null } as const

function inventedMessages(scene: Scene, now: Instant): MessageLine[] {
  if (scene === 'empty' || scene === 'first' || scene === 'sitterEmpty') return []
  const took = 'The push service took the message (201).'
  const ways = [
    { state: 'delivered', channel: 'robin-phone', contact: 'robin', outcome: took },
    {
      state: 'waiting',
      channel: 'bela-text',
      contact: 'bela',
      outcome: noAnswer,
      dueAt: later(now, 100_000),
      tries: 3,
    },
    { state: 'failed', channel: 'bela-text', contact: 'bela', outcome: noAnswer, tries: 9 },
    { state: 'replaced', channel: 'robin-relay', contact: 'robin' },
  ] as const
  const abouts = [
    { kind: 'raised', title: 'ALARM: Top box 0.9 °C, dangerously cold', priority: 'high' },
    { kind: 'again', title: 'ALARM, still: Top box 0.9 °C, dangerously cold', priority: 'high' },
    { kind: 'summary', title: 'Good morning from Brumal', priority: 'low' },
    { kind: 'raised', title: 'Look soon: Cellar, sensor silent', priority: 'medium' },
    { kind: 'returned', title: 'Over: Cellar', priority: 'low' },
  ] as const
  return Array.from({ length: 27 }, (_, i) =>
    MessageLine.parse({
      ...common,
      ...abouts[i % abouts.length],
      ...(i === 1 || i === 2 ? ways[i] : i === 6 ? ways[3] : ways[0]),
      key: `message-${i}`,
      bornAt: later(now, -minutes(3) - hours(i * 5)),
    }),
  )
}
