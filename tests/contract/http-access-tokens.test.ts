import { type AddressInfo, connect, type Socket } from 'node:net'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { mostTokens } from '../../daemon/http/doors/token-routes.ts'
import { AccessNow, Invited, MadeToken } from '../../schemas/access.ts'
import { days, hours, millis } from '../../schemas/amounts.ts'
import { Problem, Tonight } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import { bindKey } from '../support/desk-for-http.ts'
import { cookieOf, type HttpHouse, httpHouse } from '../support/http-house.ts'
import { until } from '../support/until.ts'

let house: HttpHouse
let keeper: string
let sockets: Socket[]
beforeEach(async () => {
  sockets = []
  // So long that no ping has any part in what these tests see
  house = await httpHouse({ pingEvery: millis(60_000) })
  keeper = await house.signedIn('keeper')
})
afterEach(async () => {
  for (const socket of sockets) socket.destroy()
  await house.close()
})

const refusalOf = (answer: { statusCode: number; body: string }) =>
  [answer.statusCode, Problem.parse(JSON.parse(answer.body)).code] as const
const make = async (name: string, scope: string, count: number | null = null, by = keeper) =>
  MadeToken.parse((await house.as(by, 'POST', '/api/tokens', { name, scope, days: count })).json())
const access = async () => AccessNow.parse((await house.as(keeper, 'GET', '/api/access')).json())
const statusWith = async (secret: string) => (await house.bearing(secret, 'GET', '/api/tonight')).statusCode
const end = (id: string) => house.as(keeper, 'DELETE', `/api/tokens/${id}`)

test('X1: a token opens the API by itself, until it is ended', async () => {
  const { token, secret } = await make('kitchen screen', 'look')
  expect(secret).toMatch(/^brumal_[\w-]{43}$/)
  const answer = await house.bearing(secret, 'GET', '/api/tonight')
  expect(Tonight.parse(answer.json()).household).toBe('Under the stairs')
  expect(answer.headers['set-cookie']).toBeUndefined()
  expect((await end(token.id)).statusCode).toBe(204)
  expect(await statusWith(secret)).toBe(401)
  expect(refusalOf(await end(token.id))).toEqual([404, 'noSuchToken'])
  const lines = house.desk.journalled.filter(({ kind }) => kind === 'accessChanged')
  expect(lines.map(({ by, text }) => `${by}: ${text}`)).toEqual([
    'Ada: New access token: kitchen screen, scope look.',
    'Ada: Access token ended: kitchen screen.',
  ])
})

test('X1: a token of one day ends after it, to the millisecond; one without an end does not', async () => {
  const [day, ever] = [await make('a day', 'look', 1), await make('for ever', 'look')]
  house.clock.move(days(1) - 1)
  expect(await statusWith(day.secret)).toBe(200)
  house.clock.move(1)
  expect(await statusWith(day.secret)).toBe(401)
  expect((await access()).tokens.map(({ name }) => name)).toEqual(['for ever'])
  house.clock.move(days(3660))
  expect(await statusWith(ever.secret)).toBe(200)
})

test('X1: forged and broken tokens are nobody, and are told so as RFC 6750 §3.1 has it', async () => {
  const { secret } = await make('script', 'keep')
  const session = keeper.split('=')[1] ?? ''
  const forged = [
    `brumal_${'A'.repeat(43)}`,
    `${secret}A`,
    secret.slice(0, -1),
    `brumal_${session}`,
    `${secret} ${secret}`,
    'brumal_',
    "brumal_' OR 1=1 --",
  ]
  for (const one of forged) {
    const answer = await house.bearing(one, 'GET', '/api/tonight')
    expect([one, ...refusalOf(answer)]).toEqual([one, 401, 'signInNeeded'])
    expect(answer.headers['www-authenticate']).toBe('Bearer error="invalid_token"')
  }
  expect(await statusWith(secret.toUpperCase())).toBe(401)
  // Neither is any key good in the other's place
  expect((await house.bearing(session, 'GET', '/api/tonight')).statusCode).toBe(401)
  for (const value of [secret, secret.slice(7)])
    expect((await house.as(`brumal_session=${value}`, 'GET', '/api/tonight')).statusCode).toBe(401)
  expect(await statusWith(secret)).toBe(200)
})

test('X1: of a cookie and a token together the token counts, whatever the cookie could do', async () => {
  const [look, ended] = [await make('script', 'look'), await make('ended', 'keep')]
  await end(ended.token.id)
  const both = (secret: string, url: string) =>
    house.app.inject({ url, headers: { cookie: keeper, authorization: `Bearer ${secret}` } })
  expect((await both(look.secret, '/api/tonight')).statusCode).toBe(200)
  expect(refusalOf(await both(look.secret, '/api/connection'))).toEqual([403, 'keeperOnly'])
  expect(refusalOf(await both(look.secret, '/api/access'))).toEqual([403, 'tokenMayNot'])
  expect((await both(ended.secret, '/api/tonight')).statusCode).toBe(401)
  // What a proxy in front adds for itself is none of ours
  for (const authorization of ['Basic YTpi', 'Bearer eyJhbGciOiJub25lIn0.e30.'])
    expect(
      (await house.app.inject({ url: '/api/access', headers: { cookie: keeper, authorization } })).statusCode,
    ).toBe(200)
})

test('X1: the scheme is read in any case (RFC 9110 §11.1)', async () => {
  const { secret } = await make('script', 'look')
  for (const scheme of ['Bearer', 'bearer', 'BEARER ']) {
    const answer = await house.app.inject({
      url: '/api/me',
      headers: { authorization: `${scheme} ${secret}` },
    })
    expect([scheme, answer.statusCode]).toEqual([scheme, 200])
  }
})

test("X1: another site's page cannot act with a token either", async () => {
  const { secret } = await make('script', 'act')
  const tend = (headers: Record<string, string>) =>
    house.app.inject({
      method: 'POST',
      url: '/api/places/fridge/tend',
      headers: { authorization: `Bearer ${secret}`, ...headers },
      payload: { minutes: 5 },
    })
  expect(refusalOf(await tend({ origin: 'https://elsewhere.example' }))).toEqual([403, 'crossSite'])
  expect(refusalOf(await tend({ 'sec-fetch-site': 'cross-site' }))).toEqual([403, 'crossSite'])
  expect((await tend({})).statusCode).toBe(200)
})

test('X1: what a token does is journalled as its own doing, in the name of its keeper', async () => {
  const [act, keep] = [await make('door button', 'act'), await make('importer', 'keep')]
  const alarm = house.desk.raise('limit:fridge:temperature:lowCritical' as never)
  await house.bearing(act.secret, 'POST', `/api/alarms/${alarm.id}/acknowledge`, { occurrence: 1 })
  await house.bearing(keep.secret, 'PUT', '/api/places/shelf', {
    id: 'shelf',
    name: 'Shelf',
    kind: 'box',
    parent: 'fridge',
  })
  const lines = house.desk.journalled.filter(({ kind }) => kind === 'acknowledged' || kind === 'changed')
  expect(lines.map(({ kind, by }) => `${kind} ${by}`)).toEqual([
    'acknowledged door button (token of Ada)',
    'changed importer (token of Ada)',
  ])
})

test('X4: a token that does not keep is shown what a sitter is shown', async () => {
  await house.as(keeper, 'PUT', '/api/contacts/ada', { id: 'ada', name: 'Ada' })
  const mail = { channel: { id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@house.example' } }
  await house.as(keeper, 'PUT', '/api/contacts/ada/channels/mail', mail)
  for (const [scope, isShown] of [
    ['look', false],
    ['act', false],
    ['keep', true],
  ] as const) {
    const { body } = await house.bearing(await house.token(scope), 'GET', '/api/household')
    expect([scope, Household.parse(JSON.parse(body)).contacts.map(({ name }) => name)]).toEqual([
      scope,
      ['Ada'],
    ])
    for (const secret of [bindKey, 'ada@house.example'])
      expect([scope, body.includes(secret)]).toEqual([scope, isShown])
  }
})

test("X1: a keeper's tokens end with the keeper's role, and with the keeper, and do not come back", async () => {
  const invited = await house.as(keeper, 'POST', '/api/invitations', { name: 'Cleo', role: 'keeper' })
  const link = Invited.parse(invited.json()).link.split('#')[1]
  const joined = await house.as('', 'POST', '/api/join', {
    token: link,
    password: 'a hedgehog in the leaves',
  })
  const cleo = cookieOf(joined.headers['set-cookie'])
  const [own, first] = [await make('of Ada', 'look'), await make('of Cleo', 'look', null, cleo)]
  expect((await access()).tokens.map(({ by }) => by)).toEqual(['Ada', 'Cleo'])
  await house.as(keeper, 'PUT', '/api/people/cleo/role', { role: 'sitter' })
  await house.as(keeper, 'PUT', '/api/people/cleo/role', { role: 'keeper' })
  expect(await statusWith(first.secret)).toBe(401)
  const second = await make('of Cleo again', 'look', null, cleo)
  expect(await statusWith(second.secret)).toBe(200)
  await house.as(keeper, 'DELETE', '/api/people/cleo')
  expect([await statusWith(second.secret), await statusWith(own.secret)]).toEqual([401, 200])
  expect((await access()).tokens.map(({ name }) => name)).toEqual(['of Ada'])
})

test('X1: use is written down hourly, not with every request', async () => {
  const { secret } = await make('script', 'look')
  const usedAt = async () => (await access()).tokens[0]?.usedAt
  expect(await usedAt()).toBeNull()
  const first = house.clock.now()
  await statusWith(secret)
  expect(await usedAt()).toBe(first)
  house.clock.move(hours(1) - 1)
  await statusWith(secret)
  expect(await usedAt()).toBe(first)
  house.clock.move(1)
  await statusWith(secret)
  expect(await usedAt()).toBe(first + hours(1))
  house.clock.move(0 - hours(2))
  expect(await statusWith(secret)).toBe(200)
  expect(await usedAt()).toBe(first + hours(1)) // only forward
})

test(`X3: there may be ${mostTokens}, one more is refused, and one that has ended makes room`, async () => {
  const [first] = await Promise.all(Array.from({ length: mostTokens }, (_, i) => make(`script ${i}`, 'look')))
  const oneMore = { name: 'one more', scope: 'look', days: null }
  expect(refusalOf(await house.as(keeper, 'POST', '/api/tokens', oneMore))).toEqual([409, 'tooMany'])
  await end(first?.token.id ?? '')
  expect((await house.as(keeper, 'POST', '/api/tokens', oneMore)).statusCode).toBe(200)
})

test('X1: the live stream opens for a token, and ends at once with it or with its person, and with no other', async () => {
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  const { port } = house.app.server.address() as AddressInfo
  const watch = (key: string) => {
    const socket = connect(port, '127.0.0.1')
    sockets.push(socket)
    let text = ''
    socket.on('data', (chunk: Buffer) => (text += chunk.toString('utf8')))
    socket.write(`GET /api/live HTTP/1.1\r\nHost: x\r\n${key}\r\n\r\n`)
    return () => text
  }
  const sitter = await house.signedIn('sitter')
  const [mine, other] = [await make('mine', 'look'), await make('other', 'look')]
  const mineSees = watch(`Authorization: Bearer ${mine.secret}`)
  const otherSees = watch(`Authorization: Bearer ${other.secret}`)
  const sitterSees = watch(`Cookie: ${sitter}`)
  const all = [mineSees, otherSees, sitterSees]
  await until(() => all.every((sees) => sees().includes('retry')), 'three streams')
  await end(mine.token.id)
  await until(() => mineSees().endsWith('0\r\n\r\n'), 'the end of the stream')
  expect(mineSees()).not.toContain('Access token ended')
  await until(() => otherSees().includes('Access token ended: mine.'), 'the journal on the other')
  await house.as(keeper, 'DELETE', '/api/people/bo')
  await until(() => sitterSees().endsWith('0\r\n\r\n'), 'the end of the stream of whoever is removed')
  await until(() => otherSees().includes('Bo is let in no longer.'), 'the journal on the other')
})
