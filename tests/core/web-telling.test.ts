import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { templateMistakes } from '../../daemon/notify/webhook-template.ts'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { Channel, usualTelling } from '../../schemas/contact.ts'
import { type ChannelNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { moved } from '../../web/contacts/moved.ts'
import { newChannel, secretOf } from '../../web/contacts/new-channel.ts'
import { phoneName } from '../../web/contacts/phone-words.ts'
import { placeholders, templateFor, webhookTemplates } from '../../web/contacts/webhook-template.ts'
import { bytesOf, isSameKey } from '../../web/page/phone-subscription.ts'
import {
  daysAgoWords,
  rungWords,
  tellingRemarks,
  waitsWords,
  wayWords,
} from '../../web/words/telling-words.ts'

const now = instant(Date.parse('2027-01-13T03:07:00+01:00'))

const channelNow = (rung: number | null, isRingDue: boolean): ChannelNow => ({
  channel: Channel.parse({ id: 'ada-phone', kind: 'push', label: 'phone' }),
  hasSecret: true,
  condition: 'working',
  lastSentence: null,
  lastAt: null,
  rungAt: rung === null ? null : later(now, -rung),
  isRingDue,
})
const telling = (...contacts: (readonly [string, readonly ChannelNow[]])[]): TellingNow =>
  TellingNow.parse({
    contacts: contacts.map(([name, channels]) => ({ contact: { id: name.toLowerCase(), name }, channels })),
    telling: usualTelling,
    kinds: { push: true, relay: true, mail: true, webhook: true },
    pushKey: '',
    address: '',
  })
const remarks = (given: TellingNow): string[] =>
  tellingRemarks(given, now).map(({ sentence, link }) => `${sentence} [${link}]`)

describe('S1: whether it rings', () => {
  test('a test is told in days, and asked for again when the daemon says so', () => {
    expect(rungWords(channelNow(null, true), now)).toBe('Never tested.')
    expect(rungWords(channelNow(days(12), false), now)).toBe('Last rung: 12 days ago.')
    expect(rungWords(channelNow(hours(3), false), now)).toBe('Last rung: 3 h ago.')
    expect(rungWords(channelNow(days(31), true), now)).toBe('Test due: it last rang 31 days ago.')
    expect([hours(23), days(1), days(2) - 1, days(2)].map(daysAgoWords)).toEqual([
      '23 h ago',
      '1 day ago',
      '1 day ago',
      '2 days ago',
    ])
  })

  test('Tonight says it when no phone rings, when nothing reaches somebody, and when a test is due', () => {
    expect(remarks(telling())).toEqual(['No phone rings yet. [Add a contact]'])
    expect(remarks(telling(['Ada', []]))).toEqual(['Nothing reaches Ada yet. [Add a channel]'])
    expect(remarks(telling(['Ada', [channelNow(days(31), true)]]))).toEqual([
      'Ada’s phone has not been tested for 31 days. [Ring it]',
    ])
    expect(remarks(telling(['Ada', [channelNow(null, true)]], ['Bela', [channelNow(null, true)]]))).toEqual([
      'Ada’s phone has never been tested. One more test is due. [Ring it]',
    ])
    expect(remarks(telling(['Ada', [channelNow(days(12), false)]]))).toEqual([])
  })
})

describe('the order of contacts', () => {
  test('one step at a time, and no further than the ends', () => {
    expect(moved(['a', 'b', 'c'], 'c', -1)).toEqual(['a', 'c', 'b'])
    expect(moved(['a', 'b', 'c'], 'a', 1)).toEqual(['b', 'a', 'c'])
    const order = ['a', 'b']
    expect([moved(order, 'a', -1), moved(order, 'b', 1), moved(order, 'x', 1)]).toEqual([order, order, order])
  })

  test('nobody is lost on the way, and a step back undoes a step', () => {
    const steps = fc.array(fc.tuple(fc.integer({ min: 0, max: 4 }), fc.constantFrom(-1 as const, 1 as const)))
    fc.assert(
      fc.property(steps, (given) => {
        let order: readonly number[] = [0, 1, 2, 3, 4]
        for (const [one, by] of given) {
          const next = moved(order, one, by)
          if (next !== order) expect(moved(next, one, by === 1 ? -1 : 1)).toEqual(order)
          order = next
        }
        expect([...order].sort()).toEqual([0, 1, 2, 3, 4])
      }),
    )
  })

  test('A4: the waits are told in the order in which things happen', () => {
    expect(waitsWords(usualTelling)).toMatch(/every 3 min\. After 10 min .* after 2 h\. .* morning\.$/)
  })
})

describe('what came of a message', () => {
  const line = (more: Partial<Record<keyof MessageLine, unknown>>): MessageLine =>
    MessageLine.parse({
      key: 'x',
      kind: 'raised',
      contact: 'ada',
      channel: 'ada-phone',
      alarm: null,
      title: 'x',
      text: 'x',
      priority: 'high',
      bornAt: now,
      dueAt: null,
      tries: 1,
      state: 'delivered',
      outcome: 'The relay took the message (200).',
      ...more,
    })
  const outcome = 'The relay did not answer in time.'

  test('each end has its own words', () => {
    expect(wayWords(line({}), now)).toBe('Delivered. The relay took the message (200).')
    expect(wayWords(line({ state: 'failed', outcome, tries: 9 }), now)).toBe(
      'Failed after 9 tries. The relay did not answer in time.',
    )
    expect(wayWords(line({ state: 'failed', outcome }), now)).toBe(
      'Failed. The relay did not answer in time.',
    )
    expect(wayWords(line({ state: 'replaced', outcome }), now)).toBe('No longer needed.')
  })

  test('what waits says when it is tried next', () => {
    const waits = { state: 'waiting', outcome, tries: 2 }
    expect(wayWords(line({ ...waits, dueAt: later(now, minutes(3)) }), now)).toBe(
      'Not delivered yet. The relay did not answer in time. Next try in 3 min.',
    )
    expect(wayWords(line({ ...waits, dueAt: now }), now)).toMatch(/Trying now\.$/)
    expect(wayWords(line({ state: 'waiting', outcome: null, tries: 0, dueAt: now }), now)).toBe(
      'Waiting. Trying now.',
    )
  })
})

describe('a channel that is typed in', () => {
  test.each(webhookTemplates)('the first template for $name has no mistake', ({ template, contentType }) => {
    expect(templateMistakes(template, contentType)).toEqual([])
  })

  test('every placeholder that the form names is one that the daemon fills', () => {
    const all = placeholders.map(([name]) => `{{${name}}}`).join(' ')
    expect(templateMistakes(all, 'text/plain')).toEqual([])
  })

  test('another content brings its own template, but never over what the keeper wrote', () => {
    const [json, form] = webhookTemplates
    expect(templateFor(form.contentType, json.template)).toBe(form.template)
    expect(templateFor(form.contentType, ' ')).toBe(form.template)
    expect(templateFor(form.contentType, 'to=1&m={{title}}')).toBe('to=1&m={{title}}')
  })

  test('a fresh one needs no more than its address', () => {
    for (const kind of ['relay', 'webhook'] as const)
      Channel.parse({ ...newChannel(kind), id: 'x', url: 'https://relay.example/x' })
    Channel.parse({ ...newChannel('mail'), id: 'x', address: 'ada@house.example' })
  })

  test('X4: what is left empty leaves the secret as it is kept', () => {
    expect(secretOf('relay', ' ', [])).toBeNull()
    expect(secretOf('relay', ' tk ', [])).toEqual({ kind: 'relay', token: 'tk' })
    expect(secretOf('webhook', 'tk', [{ name: ' ', value: 'x' }])).toBeNull()
    expect(secretOf('webhook', '', [{ name: 'X-Key', value: ' v ' }])).toEqual({
      kind: 'webhook',
      headers: { 'X-Key': 'v' },
    })
    expect(secretOf('mail', 'tk', [])).toBeNull()
  })
})

describe('this browser', () => {
  test.each([
    [
      'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 Chrome/131.0.0.0 Mobile Safari/537.36',
      'Android phone',
    ],
    [
      'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 Chrome/131.0.0.0 Safari/537.36',
      'Android tablet',
    ],
    [
      'Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) Version/17.5 Mobile/15E148 Safari/604.1',
      'iPhone',
    ],
    ['Mozilla/5.0 (X11; Linux x86_64; rv:133.0) Gecko/20100101 Firefox/133.0', 'Firefox on Linux'],
    ['Mozilla/5.0 (Windows NT 10.0) Chrome/131.0.0.0 Safari/537.36 Edg/131.0.0.0', 'Edge on Windows'],
    ['Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) Version/17.5 Safari/605.1.15', 'Safari on a Mac'],
    ['', 'Browser'],
  ])('is named for people: %s', (agent, name) => expect(phoneName(agent)).toBe(name))

  test('a subscription for another key is told from one for this key', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 65, maxLength: 65 }), (key) => {
        const text = Buffer.from(key).toString('base64url')
        expect(isSameKey(new Uint8Array(key).buffer, bytesOf(text))).toBe(true)
        const other = new Uint8Array(key)
        other[64] = (other[64] ?? 0) ^ 1
        expect(isSameKey(other.buffer, bytesOf(text))).toBe(false)
      }),
    )
    expect(isSameKey(null, bytesOf('AA'))).toBe(false)
  })
})
