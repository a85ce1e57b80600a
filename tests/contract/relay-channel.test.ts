import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { headerText, keyHeader } from '../../daemon/notify/header-text.ts'
import { relaySender } from '../../daemon/notify/relay.ts'
import type { Relay } from '../../daemon/notify/relay.ts'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import type { ChannelSecret } from '../../schemas/contact.ts'
import { aParcel, certificateFolder, checked, clock, relayToken } from '../support/channel-world.ts'
import type { Change } from '../support/channel-world.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import type { HttpReceiver } from '../support/http-receiver.ts'
import { decodedWords } from '../support/mail-server.ts'

let relay: HttpReceiver
beforeEach(async () => {
  relay = await startHttpReceiver()
})
afterEach(() => relay.stop())

const withToken: ChannelSecret = { kind: 'relay', token: relayToken }

async function send(
  change: Change = {},
  secret: ChannelSecret | null = withToken,
  options: Partial<Relay> = {},
): Promise<Delivery> {
  const channel = {
    id: 'r',
    kind: 'relay',
    label: 'Relay',
    url: `${relay.origin}/frog-room?at=night`,
  } as never
  const sender = relaySender({ clock, ...options })
  return checked(await sender.send(channel, secret, aParcel(change), AbortSignal.timeout(10_000)))
}

test('A6: the request, byte for byte', async () => {
  expect(await send()).toEqual({
    outcome: 'delivered',
    sentence: `The relay at 127.0.0.1:${relay.port} took the message (200).`,
  })
  const lines = [
    'POST /frog-room?at=night HTTP/1.1',
    `Host: 127.0.0.1:${relay.port}`,
    'Content-Type: text/plain; charset=utf-8',
    'Title: =?UTF-8?B?QUxBUk0gQm94IDEgMC40IMKwQywgdG9vIGNvbGQ=?=',
    'Priority: 5',
    'Click: https://brumal.frog-house.example/alarms?open=box-1&sign=link-signature-5512',
    'Actions: view, Acknowledge, https://brumal.frog-house.example/ack/answer-signature-7734',
    'Authorization: Bearer relay-token-4d1f',
    'Idempotency-Key: "limit:box-1:temperature:lowCritical/3/raised/ada-phone"',
    'Content-Length: 50',
    'Connection: close',
    '',
    'Box 1 is too cold.\nFirst: look at the fridge door.',
  ]
  expect(relay.bytes().toString()).toBe(lines.join('\r\n'))
})

test('without links and token the request leaves their lines out; other priorities, other words', async () => {
  const message = {
    title: 'Note: Box 1',
    text: 'Kühl.',
    priority: 'low',
    link: null,
    acknowledgeLink: null,
  } as const
  await send({ key: 'k 1', message }, null, { priorities: { high: 'urgent', medium: 'default', low: 'min' } })
  const lines = [
    'POST /frog-room?at=night HTTP/1.1',
    `Host: 127.0.0.1:${relay.port}`,
    'Content-Type: text/plain; charset=utf-8',
    'Title: Note: Box 1',
    'Priority: min',
    'Idempotency-Key: "k%201"',
    'Content-Length: 6',
    'Connection: close',
    '',
    'Kühl.',
  ]
  expect(relay.bytes().toString()).toBe(lines.join('\r\n'))
})

test.each([
  ['high', '5'],
  ['medium', '4'],
  ['low', '2'],
] as const)('A4: %s priority is told as %s', async (priority, told) => {
  await send({ message: { priority } })
  expect(relay.requests[0]?.headers['priority']).toBe(told)
})

test('links that are no web addresses are left out; commas and spaces cannot break the header', async () => {
  await send({
    message: { link: 'javascript:alert(1)', acknowledgeLink: 'https://h.example/a,b;c d\r\nX: y' },
  })
  const headers = relay.requests[0]?.headers ?? {}
  expect(headers).not.toHaveProperty('click')
  expect(headers).not.toHaveProperty('x')
  expect(headers['actions']).toBe('view, Acknowledge, https://h.example/a%2Cb%3Bc%20dX:%20y')
})

test('a long text is cut to 4,000 bytes between characters', async () => {
  await send({ message: { text: '冷'.repeat(2000) } })
  const body = relay.requests[0]?.body.toString() ?? ''
  expect(body).toMatch(/^冷{1332}…$/)
  expect(Buffer.byteLength(body)).toBeLessThanOrEqual(4000)
})

describe('redirects', () => {
  test.each([307, 308])('a %d on the same host is followed, method and body kept', async (status) => {
    relay.behave({ status, headers: { Location: '/moved' } })
    expect(await send()).toMatchObject({ outcome: 'delivered' })
    const [first, second] = relay.requests
    expect(second).toMatchObject({ method: 'POST', path: '/moved', body: first?.body })
    expect(second?.headers).toEqual(first?.headers)
  })

  test.each([301, 302, 303])('a %d is not followed: it would lose the message', async (status) => {
    relay.behave({ status, headers: { Location: '/moved' } })
    expect(await send()).toMatchObject({ outcome: 'refused' })
    expect(relay.requests).toHaveLength(1)
  })

  test('X4: no other host, and no other port, gets to see the token', async () => {
    const other = await startHttpReceiver()
    try {
      for (const host of ['127.0.0.1', 'localhost']) {
        relay.behave({ status: 307, headers: { Location: `http://${host}:${other.port}/` } })
        expect(await send()).toMatchObject({ outcome: 'refused' })
      }
      expect(other.count()).toBe(0)
    } finally {
      await other.stop()
    }
  })

  test('X4: another name is another host, even where it leads to the same machine and port', async () => {
    relay.behave({ status: 307, headers: { Location: `http://localhost:${relay.port}/` } })
    expect(await send()).toMatchObject({ outcome: 'refused' })
    expect(relay.requests).toHaveLength(1)
  })

  test('from http to https on the same host is followed, back to http is not', async () => {
    const certificates = certificateFolder()
    const safe = await startHttpReceiver({ certificate: certificates.good })
    try {
      relay.behave({ status: 308, headers: { Location: `${safe.origin}/safe` } })
      safe.behave({ status: 308, headers: { Location: `${relay.origin}/unsafe` } })
      expect(await send({}, withToken, { agent: certificates.agent })).toMatchObject({ outcome: 'refused' })
      expect(safe.requests.map(({ path }) => path)).toEqual(['/safe'])
      expect(relay.requests).toHaveLength(1)
    } finally {
      await safe.stop()
      certificates.remove()
    }
  })

  test('a ring of redirects ends after three', async () => {
    const again = { status: 307, headers: { Location: '/round' } }
    relay.behave(again, again, again, again, again, again)
    expect(await send()).toMatchObject({ outcome: 'refused' })
    expect(relay.requests).toHaveLength(4)
  })
})

test.each([
  ['a line break', 'token\r\nX-Evil: 1'],
  ['a letter that is not ASCII', 'töken'],
  ['nothing', ''],
])('X4: a token that holds %s is refused before anything is sent, and not repeated', async (_what, token) => {
  const delivery = await send({}, { kind: 'relay', token })
  expect(delivery.outcome).toBe('refused')
  if (token !== '') expect(delivery.sentence).not.toContain(token)
  expect(relay.count()).toBe(0)
})

test('a secret of another kind of channel is refused before anything is sent', async () => {
  expect(await send({}, { kind: 'webhook', headers: {} })).toMatchObject({ outcome: 'refused' })
  expect(relay.count()).toBe(0)
})

describe('text in a header', () => {
  test('any title survives as words of at most 75 ASCII characters (RFC 2047 §2)', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 120 }), (title) => {
        const field = headerText(title)
        expect(field).toMatch(/^[\x20-\x7E]*$/)
        const line = title.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
        expect(decodedWords(field)).toBe(line)
        if (field !== line) for (const word of field.split(' ')) expect(word.length).toBeLessThanOrEqual(75)
      }),
    )
  })

  test('a title that looks like an encoded word does not turn into another', () => {
    expect(decodedWords(headerText('=?UTF-8?B?aGk=?='))).toBe('=?UTF-8?B?aGk=?=')
  })

  test('different keys stay different, quoted and in visible ASCII', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'binary' }), (one, other) => {
        expect(keyHeader(one)).toMatch(/^"[\x21\x23-\x5B\x5D-\x7E]*"$/)
        expect(keyHeader(one) === keyHeader(other)).toBe(one === other)
        expect(decodeURIComponent(keyHeader(one).slice(1, -1))).toBe(one)
      }),
    )
  })
})
