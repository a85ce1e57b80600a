import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { newVapidKeys, topicOf, webPushSender } from '../../daemon/notify/web-push.ts'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import type { ChannelSecret } from '../../schemas/contact.ts'
import type { Instant } from '../../schemas/units.ts'
import { aParcel, certificateFolder, checked, clock, now, vapid } from '../support/channel-world.ts'
import type { CertificateFolder, Change } from '../support/channel-world.ts'
import { startPushService } from '../support/push-service.ts'
import type { PushService, Subscription } from '../support/push-service.ts'

let certificates: CertificateFolder
let service: PushService
let browser: Subscription
beforeAll(() => {
  certificates = certificateFolder()
})
afterAll(() => certificates.remove())
beforeEach(async () => {
  service = await startPushService(certificates.good)
  browser = service.subscribe(vapid.publicKey)
})
afterEach(() => service.stop())

const channel = { id: 'ada-phone', kind: 'push', label: 'Ada’s phone' } as never

async function send(change: Change = {}, secret: ChannelSecret | null = browser.secret): Promise<Delivery> {
  const sender = webPushSender({ vapid, clock, agent: certificates.agent })
  const delivery = await sender.send(channel, secret, aParcel(change), AbortSignal.timeout(10_000))
  const { endpoint, auth, p256dh } = browser.secret
  return checked(delivery, endpoint, new URL(endpoint).pathname, auth, p256dh)
}

test('A6: the browser decrypts the whole message, and the service knows who sent it', async () => {
  expect(await send()).toEqual({
    outcome: 'delivered',
    sentence: 'The push service took the message (201).',
  })
  const [message] = browser.taken
  const { message: said, key, alarm, kind } = aParcel()
  expect(JSON.parse(message?.plaintext ?? '')).toEqual({ ...said, key, alarm, kind })
  expect(message?.jwt).toMatchObject({ aud: service.origin, sub: vapid.subject })
  // 12 h ahead: well inside the 24 h of RFC 8292 §2
  const hoursAhead = ((message?.jwt.exp ?? 0) - Date.now() / 1000) / 3600
  expect(hoursAhead).toBeGreaterThan(11.9)
  expect(hoursAhead).toBeLessThan(12.1)
  expect(service.faults).toEqual([])
})

test('the request carries these headers and no others', async () => {
  await send()
  const [request] = service.requests
  expect(request?.headers).toEqual({
    host: `127.0.0.1:${service.port}`,
    'content-type': 'application/octet-stream',
    'content-encoding': 'aes128gcm',
    'content-length': String(request?.body.length),
    ttl: '7200',
    urgency: 'high',
    topic: topicOf(aParcel()),
    authorization: expect.stringMatching(/^vapid t=[\w-]+\.[\w-]+\.[\w-]+, k=[\w-]+$/) as string,
    connection: 'close',
  })
  expect(request?.method).toBe('POST')
})

test.each([
  [7_200_000, 7200],
  [60_001, 61],
  [60_000, 60],
  [59_999, 60],
  [-5000, 60],
  [2_419_200_000, 2_419_200],
  [2_419_200_001, 2_419_200],
])('with %d ms to its end, a message is kept for %d s', async (left, seconds) => {
  await send({ expiresAt: (now + left) as Instant })
  expect(browser.taken.map(({ ttl }) => ttl)).toEqual([seconds])
})

test.each([
  ['raised', 'high', 'high'],
  ['raised', 'medium', 'normal'],
  ['raised', 'low', 'low'],
  ['again', 'high', 'high'],
  ['chattering', 'high', 'high'],
  ['flood', 'high', 'high'],
  ['returned', 'high', 'normal'],
  ['returned', 'low', 'normal'],
  ['summary', 'low', 'low'],
  ['ring', 'high', 'high'],
] as const)('A4: %s of %s priority has urgency %s', async (kind, priority, urgency) => {
  await send({ kind, message: { priority } })
  expect(browser.taken.map((message) => message.urgency)).toEqual([urgency])
})

test('what is newer about an alarm replaces what still waits for the phone, and nothing else', async () => {
  const fridge = 'limit:fridge:temperature:highCritical' as never
  await send({ key: '1', kind: 'raised' })
  await send({ key: '2', kind: 'raised', alarm: fridge })
  await send({ key: '3', kind: 'again' })
  await send({ key: '4', kind: 'raised', occurrence: 4 })
  await send({ key: '5', kind: 'ring', alarm: null })
  await send({ key: '6', kind: 'summary', alarm: null })
  const keys = browser.pending().map(({ plaintext }) => (JSON.parse(plaintext) as { key: string }).key)
  expect(keys).toEqual(['2', '3', '4', '5', '6'])
  // 32 characters of base64url at most (RFC 8030 §5.4), and the alarm's name is not to be read in it
  expect(topicOf(aParcel())).toMatch(/^[A-Za-z0-9_-]{32}$/)
})

test('a service that finds the message too long gets a shorter text, once', async () => {
  const text = 'Box 1 is too cold. '.repeat(100)
  service.behave({ status: 413 })
  expect(await send({ message: { text } })).toMatchObject({ outcome: 'delivered' })
  expect(service.requests).toHaveLength(2)
  expect(service.requests[1]?.body.length).toBeLessThanOrEqual(2000 + 103)
  const read = JSON.parse(browser.taken[0]?.plaintext ?? '') as Record<string, string>
  expect(read['link']).toBe(aParcel().message.link)
  expect(text.startsWith(read['text']?.slice(0, -1) ?? 'nothing')).toBe(true)

  service.behave({ status: 413 }, { status: 413 })
  expect(await send({ message: { text } })).toMatchObject({ outcome: 'refused' })
  expect(service.requests).toHaveLength(4)

  // short as it is, there is nothing to shorten
  service.behave({ status: 413 })
  expect(await send()).toMatchObject({ outcome: 'refused' })
  expect(service.requests).toHaveLength(5)
})

test('the longest message stays within what every service takes', async () => {
  const link = `https://brumal.frog-house.example/${'a'.repeat(960)}`
  const message = { title: '❄'.repeat(120), text: '冷'.repeat(2000), link, acknowledgeLink: link }
  expect(await send({ message })).toMatchObject({ outcome: 'delivered' })
  const [taken] = browser.taken
  expect(Buffer.byteLength(taken?.plaintext ?? '')).toBeLessThanOrEqual(3900)
  expect(taken?.bodyLength).toBeLessThanOrEqual(4096)
  expect(JSON.parse(taken?.plaintext ?? '')).toMatchObject({ link, acknowledgeLink: link })
})

test('a subscription that belongs to another key of ours is not taken, and says so', async () => {
  const other = service.subscribe(newVapidKeys().publicKey)
  const delivery = await send({}, other.secret)
  expect(delivery).toMatchObject({
    outcome: 'later',
    sentence: 'The push service does not accept our login (403).',
  })
  expect(service.faults).toHaveLength(1)
})

test('a redirect is not followed, not even on the same host', async () => {
  service.behave({ status: 307, headers: { Location: '/p/elsewhere' } })
  expect(await send()).toMatchObject({ outcome: 'refused' })
  expect(service.requests).toHaveLength(1)
})

test.each([
  ['no secret at all', null],
  ['a secret of another kind', { kind: 'relay', token: 'x' }],
  ['a key that is too short', { p256dh: 'BCVx' }],
  ['a key that is no point of the curve', { p256dh: Buffer.alloc(65, 4).toString('base64url') }],
  ['an auth secret that is too short', { auth: 'BTBZ' }],
] as const)('with %s, the channel is gone and nothing is sent', async (_what, change) => {
  const secret = change === null || 'kind' in change ? change : { ...browser.secret, ...change }
  const delivery = await send({}, secret)
  expect(delivery.outcome).toBe('gone')
  expect(delivery.sentence).toMatch(/turn its messages on again, in that browser\.$/)
  expect(service.count()).toBe(0)
})

test('X4: keys that cannot be used are noticed at once, and not repeated in the error', () => {
  const short = vapid.privateKey.slice(0, 20)
  const start = () => webPushSender({ vapid: { ...vapid, privateKey: short }, clock })
  expect(start).toThrow(/private key/)
  expect(start).not.toThrow(short)
})

test('new keys are a pair of P-256, and others each time', () => {
  const keys = newVapidKeys()
  expect(Buffer.from(keys.publicKey, 'base64url')).toHaveLength(65)
  expect(Buffer.from(keys.privateKey, 'base64url')).toHaveLength(32)
  expect(newVapidKeys()).not.toEqual(keys)
})
