import type { Alarm } from '../../schemas/alarm.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { Contact } from '../../schemas/contact.ts'
import { type ChannelNow, MessageLine } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Scene } from './web-fixture-scene.ts'

/** What a channel has been through. */
export type Past = Omit<ChannelNow, 'channel'>

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

export const noAnswer = 'The service at gateway.house.example did not answer in time.'

export const untried: Past = {
  hasSecret: false,
  condition: 'unknown',
  lastSentence: null,
  lastAt: null,
  rungAt: null,
  isRingDue: true,
}

export function inventedPasts(scene: Scene, now: Instant): Map<string, Past> {
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

export const common = {
  alarm: null,
  text: '',
  priority: 'high',
  tries: 1,
  dueAt: null,
  outcome: null,
} as const

export function inventedMessages(scene: Scene, now: Instant): MessageLine[] {
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
