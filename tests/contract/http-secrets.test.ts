import { afterAll, beforeAll, expect, test } from 'vitest'
import { Invited, MadeDevice, MadeToken } from '../../schemas/access.ts'
import type { ContactId } from '../../schemas/ids.ts'
import { cookieOf, type HttpHouse, httpHouse, type Method, password } from '../support/http-house.ts'

/** A household in which every kind of secret is made and used once, by everybody who may, and everything then read. */
interface Told {
  readonly what: string
  /** Head and body, but not the cookie that the browser is given. */
  readonly text: string
}

const secretsTyped = {
  relayToken: 'relay-token-of-the-sister',
  webhookHeader: 'header-of-the-gateway',
  endpoint: 'https://push.example/subscription-of-the-phone',
  p256dh: 'P'.repeat(87),
  auth: 'Q'.repeat(22),
  keeperPassword: password.keeper,
  sitterPassword: password.sitter,
  wrongPassword: 'this one was never right',
  forgedLink: 'a-forged-link-that-is-none-of-ours',
  newPassword: 'chosen by whoever joined',
  nextPassword: 'and then changed again',
}

let house: HttpHouse
const told: Told[] = []
const made: Record<string, string> = {}
const sessions: string[] = []
beforeAll(async () => {
  house = await httpHouse()
  const note = async (what: string, asking: ReturnType<HttpHouse['as']>) => {
    const answer = await asking
    const { 'set-cookie': given, ...headers } = answer.headers
    if (given !== undefined) sessions.push(cookieOf(given).split('=')[1] ?? '')
    told.push({ what, text: `${JSON.stringify(headers)}\n${answer.body}` })
    return answer
  }
  const ask = (cookie: string, method: Method, url: string, body?: unknown) =>
    note(`${method} ${url}`, house.as(cookie, method, url, body))
  const signIn = async (name: string, given: string) =>
    cookieOf((await ask('', 'POST', '/api/sign-in', { name, password: given })).headers['set-cookie'])

  const keeper = await signIn('Ada', password.keeper)
  const sitter = await signIn('Bo', password.sitter)
  await signIn('Ada', secretsTyped.wrongPassword)

  await ask(keeper, 'PUT', '/api/contacts/sister', { id: 'sister', name: 'Sister' })
  await ask(keeper, 'PUT', '/api/contacts/sister/channels/relay', {
    channel: { id: 'relay', kind: 'relay', label: 'Relay', url: 'https://relay.example/x' },
    secret: { kind: 'relay', token: secretsTyped.relayToken },
  })
  await ask(keeper, 'PUT', '/api/contacts/sister/channels/gateway', {
    channel: {
      id: 'gateway',
      kind: 'webhook',
      label: 'SMS',
      url: 'https://sms.example/x',
      template: '{{text}}',
    },
    secret: { kind: 'webhook', headers: { 'X-Key': secretsTyped.webhookHeader } },
  })
  await ask(keeper, 'PUT', '/api/contacts/sister/channels/relay', {
    channel: { id: 'gateway', kind: 'relay', label: 'wrong', url: 'x' },
    secret: { kind: 'relay', token: secretsTyped.relayToken, more: secretsTyped.webhookHeader },
  })
  const { endpoint, p256dh, auth } = secretsTyped
  await ask(sitter, 'POST', '/api/me/phone', { label: 'Phone', endpoint, p256dh, auth })
  await ask(sitter, 'POST', '/api/me/phone', { label: 'Phone', endpoint, p256dh, auth: `${auth}!` })
  await ask(keeper, 'POST', '/api/contacts/sister/channels/relay/ring', {})

  const invited = Invited.parse(
    (await ask(keeper, 'POST', '/api/invitations', { name: 'Cleo', role: 'keeper' })).json(),
  )
  made.invitation = invited.link.split('#')[1] ?? ''
  await ask('', 'POST', '/api/invitation', { token: made.invitation })
  const join = { token: made.invitation, password: secretsTyped.newPassword }
  const cleo = cookieOf((await ask('', 'POST', '/api/join', join)).headers['set-cookie'])
  await ask('', 'POST', '/api/join', join)
  await ask(cleo, 'POST', '/api/me/password', {
    old: secretsTyped.wrongPassword,
    password: secretsTyped.nextPassword,
  })
  const change = { old: secretsTyped.newPassword, password: secretsTyped.nextPassword }
  await ask(cleo, 'POST', '/api/me/password', change)

  for (const scope of ['look', 'act', 'keep'] as const) {
    const body = { name: `${scope} script`, scope, days: null }
    made[scope] = MadeToken.parse((await ask(keeper, 'POST', '/api/tokens', body)).json()).secret
  }
  const device = await ask(keeper, 'PUT', '/api/devices/probe', { name: 'probe', kind: 'sensor' })
  made.device = MadeDevice.parse(device.json()).password

  const alarm = house.desk.raise('limit:fridge:temperature:lowCritical' as never)
  made.link = house.desk.answers.linkFor('sister' as ContactId, alarm)
  for (const what of ['', '/acknowledge']) await ask('', 'POST', `/api/answer${what}`, { token: made.link })
  await ask('', 'POST', '/api/answer', { token: secretsTyped.forgedLink })
  await ask('', 'POST', '/api/answer/tend', { token: made.link, minutes: 'x', more: made.link })

  house.desk.breakOnce(new Error('the desk broke'))
  await ask(keeper, 'GET', '/api/tonight')

  const looks = house.app.knownRoutes.filter(({ method, url }) => method === 'GET' && url !== '/api/live')
  for (const { url } of looks) {
    const path = url.replace(':place', 'fridge').replace(':sensor', 'probe-1')
    for (const cookie of [keeper, sitter]) await ask(cookie, 'GET', path)
    for (const scope of ['look', 'keep'] as const)
      await note(`GET ${path} by ${scope}`, house.bearing(made[scope] ?? '', 'GET', path))
  }
}, 30_000)
afterAll(() => house.close())

/** Where it was told. */
const tellers = (secret: string) => told.filter(({ text }) => text.includes(secret)).map(({ what }) => what)
const logged = () => [...house.log.lines, ...house.desk.journalled.map((line) => JSON.stringify(line))]

test('the household was lived in: everything was made, and much was told', () => {
  expect(Object.values(made).every((secret) => secret.length >= 12)).toBe(true)
  expect(Object.keys(made).sort()).toEqual(['act', 'device', 'invitation', 'keep', 'link', 'look'])
  expect(new Set(sessions).size).toBe(4)
  expect(told.length).toBeGreaterThan(90)
  expect(logged().join('\n')).toContain('the desk broke')
  expect(house.log.lines.filter((line) => line.startsWith('warn')).length).toBeGreaterThan(3)
  expect(house.desk.channelSecrets.size).toBe(3)
})

test('X4: an invitation, an access token and the password of a device are told once, at their making', () => {
  expect(tellers(made.invitation ?? '')).toEqual(['POST /api/invitations'])
  for (const scope of ['look', 'act', 'keep'])
    expect(tellers(made[scope] ?? '')).toEqual(['POST /api/tokens'])
  expect(tellers(made.device ?? '')).toEqual(['PUT /api/devices/probe'])
})

test('X4: what was typed, the tokens of sessions and of links are in no answer', () => {
  for (const secret of [...Object.values(secretsTyped), ...sessions, made.link ?? ''])
    expect([secret, tellers(secret)]).toEqual([secret, []])
})

test('X4: no answer holds the hash of anything', () => {
  const { people } = house
  const hashes = [
    ...people.people().map(({ passwordHash }) => passwordHash),
    ...people.sessions().map(({ tokenHash }) => tokenHash),
    ...people.tokens().map(({ tokenHash }) => tokenHash),
  ]
  expect(hashes.length).toBe(3 + 3 + 3)
  for (const hash of hashes) expect([hash, tellers(hash)]).toEqual([hash, []])
})

test('X4: no log line and no line of the journal holds any of them', () => {
  const secrets = [...Object.values(secretsTyped), ...Object.values(made), ...sessions]
  for (const secret of secrets)
    expect([secret, logged().filter((line) => line.includes(secret))]).toEqual([secret, []])
})

test('X4: of sessions, invitations and access tokens nothing is kept but a hash', () => {
  const { people } = house
  const kept = JSON.stringify([people.people(), people.sessions(), people.invitations(), people.tokens()])
  for (const secret of [...Object.values(secretsTyped), ...Object.values(made), ...sessions])
    expect([secret, kept.includes(secret)]).toEqual([secret, false])
})
