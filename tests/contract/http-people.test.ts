import { randomBytes } from 'node:crypto'
import { type AddressInfo, connect } from 'node:net'
import { beforeEach, describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { hashPassword } from '../../daemon/http/doors/password.ts'
import { AccessNow, Invited, SessionNow } from '../../schemas/access.ts'
import { minutes } from '../../schemas/amounts.ts'
import { Problem } from '../../schemas/api.ts'
import { cookieOf, eachInAHouse, password } from '../support/http-house.ts'
import { until } from '../support/until.ts'

const house = eachInAHouse('keeper', 'sitter')
/** As dear as the daemon's own: what happens while one is being checked is tested here. */
const dear = [
  await hashPassword(password.keeper, randomBytes),
  await hashPassword(password.sitter, randomBytes),
]
beforeEach(() => {
  for (const [i, person] of house.people.people().entries())
    house.people.savePerson({ ...person, passwordHash: dear[i] ?? person.passwordHash })
})

const refusalOf = (answer: { statusCode: number; body: string }) =>
  [answer.statusCode, Problem.parse(JSON.parse(answer.body)).code] as const
const statusOf = async (cookie: string) => (await house.as(cookie, 'GET', '/api/me')).statusCode
const roleOf = (person: string, role: string, by = house.keeper) =>
  house.as(by, 'PUT', `/api/people/${person}/role`, { role })
const remove = (person: string, by = house.keeper) => house.as(by, 'DELETE', `/api/people/${person}`)
const access = async () => AccessNow.parse((await house.as(house.keeper, 'GET', '/api/access')).json())
/** A second keeper, with the cookie of their browser. */
async function secondKeeper(name = 'Cleo'): Promise<string> {
  const invited = await house.as(house.keeper, 'POST', '/api/invitations', { name, role: 'keeper' })
  const token = Invited.parse(invited.json()).link.split('#')[1]
  const joined = await house.as('', 'POST', '/api/join', { token, password: 'a hedgehog in the leaves' })
  return cookieOf(joined.headers['set-cookie'])
}
/** The request as it is once it has looked people up so many times, and hashes: about 0.2 s. */
async function begun(asking: ReturnType<typeof house.as>, lookUps = 1) {
  const lookedUp = vi.spyOn(house.people, 'people')
  const answer = Promise.resolve(asking) // begun: inject alone waits for an await
  await until(() => lookedUp.mock.calls.length >= lookUps, 'the people to be looked up')
  lookedUp.mockRestore()
  return { answer }
}
const signInAs = (name: string, given: string) =>
  house.as('', 'POST', '/api/sign-in', { name, password: given })

describe('roles and removal', () => {
  test('X1: a role changes at once, for sessions that stand too', async () => {
    expect((await roleOf('bo', 'keeper')).json()).toEqual({ id: 'bo', name: 'Bo', role: 'keeper' })
    expect((await house.as(house.sitter, 'GET', '/api/access')).statusCode).toBe(200)
    expect((await roleOf('bo', 'sitter')).statusCode).toBe(200)
    expect((await house.as(house.sitter, 'GET', '/api/access')).statusCode).toBe(403)
    const lines = house.desk.journalled.filter(({ kind }) => kind === 'accessChanged')
    expect(lines.map(({ by, text }) => `${by}: ${text}`)).toEqual([
      'Ada: Bo is a keeper now.',
      'Ada: Bo is a sitter now.',
    ])
  })

  test('X1: a role that somebody has already changes nothing and is not journalled', async () => {
    expect((await roleOf('ada', 'keeper')).statusCode).toBe(200)
    expect(house.desk.journalled.filter(({ kind }) => kind === 'accessChanged')).toEqual([])
  })

  test('X1: the last keeper is neither made a sitter nor removed; of two, one may be', async () => {
    expect(refusalOf(await roleOf('ada', 'sitter'))).toEqual([409, 'lastKeeper'])
    expect(refusalOf(await remove('ada'))).toEqual([409, 'lastKeeper'])
    const cleo = await secondKeeper()
    expect((await roleOf('ada', 'sitter', cleo)).statusCode).toBe(200)
    expect(refusalOf(await remove('cleo', cleo))).toEqual([409, 'lastKeeper'])
    expect(refusalOf(await roleOf('cleo', 'sitter', cleo))).toEqual([409, 'lastKeeper'])
  })

  test('X1: two keepers who demote one another at once leave one keeper', async () => {
    const cleo = await secondKeeper()
    const answers = await Promise.all([roleOf('ada', 'sitter', cleo), roleOf('cleo', 'sitter', house.keeper)])
    expect(answers.filter(({ statusCode }) => statusCode === 200).length).toBe(1)
    expect(house.people.people().filter(({ role }) => role === 'keeper').length).toBe(1)
  })

  test('X1: whoever is made a sitter does not finish as a keeper what they began as one', async () => {
    const cleo = await secondKeeper()
    await house.app.listen({ port: 0, host: '127.0.0.1' })
    const { port } = house.app.server.address() as AddressInfo
    const body = JSON.stringify({ name: 'Dora', role: 'keeper' })
    const head = [
      'POST /api/invitations HTTP/1.1',
      'Host: x',
      `Cookie: ${cleo}`,
      'Content-Type: application/json',
    ]
    const lookedUp = vi.spyOn(house.people, 'session')
    const socket = connect(port, '127.0.0.1')
    let heard = ''
    socket.on('data', (chunk: Buffer) => (heard += chunk.toString('utf8')))
    socket.write(`${[...head, `Content-Length: ${body.length}`, 'Connection: close'].join('\r\n')}\r\n\r\n`)
    await until(() => lookedUp.mock.calls.length > 0, 'the head to be let in')
    expect((await roleOf('cleo', 'sitter')).statusCode).toBe(200)
    socket.write(body)
    await until(() => heard.includes('}'), 'the answer')
    expect(heard).toMatch(/^HTTP\/1\.1 403 .*"keeperOnly"/s)
    expect((await access()).invitations).toEqual([])
  })

  test('X1: nobody removes themselves, and who is not there is 404', async () => {
    await secondKeeper()
    const refused = await remove('ada')
    expect([...refusalOf(refused), Problem.parse(refused.json()).detail]).toEqual([
      409,
      'notYourself',
      'You cannot remove yourself. Ask another keeper.',
    ])
    expect(refusalOf(await remove('nobody'))).toEqual([404, 'noSuchPerson'])
    expect(refusalOf(await roleOf('nobody', 'keeper'))).toEqual([404, 'noSuchPerson'])
  })

  test('X1: whoever is removed is out at once, in every browser, and stays out', async () => {
    const other = await house.signedIn('sitter')
    expect((await remove('bo')).statusCode).toBe(204)
    expect([await statusOf(house.sitter), await statusOf(other)]).toEqual([401, 401])
    expect(refusalOf(await signInAs('Bo', password.sitter))).toEqual([401, 'wrongNameOrPassword'])
    expect((await access()).people.map(({ id }) => id)).toEqual(['ada'])
    expect((await access()).sessions.map(({ person }) => person)).toEqual(['ada'])
  })

  test('X1: a removal while the password is being checked is in time', async () => {
    const signingIn = await begun(signInAs('Bo', password.sitter))
    expect((await remove('bo')).statusCode).toBe(204)
    expect(refusalOf(await signingIn.answer)).toEqual([401, 'wrongNameOrPassword'])
    expect((await access()).sessions.map(({ person }) => person)).toEqual(['ada'])
  })

  test('X1: a password that is changed while the old one is being checked is changed in time', async () => {
    const signingIn = await begun(signInAs('Bo', password.sitter))
    const [ada, bo] = house.people.people()
    if (ada === undefined || bo === undefined) throw new Error('there are two people')
    house.people.savePerson({ ...bo, passwordHash: ada.passwordHash }) // as the console does
    expect(refusalOf(await signingIn.answer)).toEqual([401, 'wrongNameOrPassword'])
    expect((await signInAs('Bo', password.keeper)).statusCode).toBe(200)
  })

  test('A4: a contact whose person is removed is still told, as nobody who signs in', async () => {
    await house.as(house.keeper, 'PUT', '/api/contacts/bo', { id: 'bo', name: 'Bo', person: 'bo' })
    const relay = { channel: { id: 'relay', kind: 'relay', label: 'Relay', url: 'https://relay.example/bo' } }
    await house.as(house.keeper, 'PUT', '/api/contacts/bo/channels/relay', relay)
    expect((await remove('bo')).statusCode).toBe(204)
    expect(house.desk.household().contacts).toMatchObject([
      { id: 'bo', person: null, channels: [{ id: 'relay' }] },
    ])
  })
})

describe('sessions', () => {
  const own = async (cookie: string) =>
    z.array(SessionNow).parse((await house.as(cookie, 'GET', '/api/me/sessions')).json())
  const end = (id: string, by: string) => house.as(by, 'DELETE', `/api/sessions/${id}`)

  test('X1: everyone sees their own sign-ins, newest use first, and which is this one', async () => {
    house.clock.move(minutes(90))
    const phone = await house.signedIn('sitter')
    house.clock.move(minutes(1))
    const found = await own(house.sitter) // which counts as use
    expect(found.map(({ person, isThis }) => [person, isThis])).toEqual([
      ['bo', true],
      ['bo', false],
    ])
    expect((await own(phone)).filter(({ isThis }) => isThis).length).toBe(1)
    expect((await own(house.keeper)).map(({ person }) => person)).toEqual(['ada'])
  })

  test('X1: one ends their own, a keeper ends any, a sitter no other', async () => {
    const phone = await house.signedIn('sitter')
    const [theirs] = await own(house.keeper)
    expect(refusalOf(await end(theirs?.id ?? '', house.sitter))).toEqual([404, 'noSuchSession'])
    const mine = (await own(house.sitter)).find(({ isThis }) => !isThis)
    expect((await end(mine?.id ?? '', house.sitter)).statusCode).toBe(204)
    expect([await statusOf(phone), await statusOf(house.sitter)]).toEqual([401, 200])
    const [last] = await own(house.sitter)
    expect((await end(last?.id ?? '', house.keeper)).statusCode).toBe(204)
    expect(await statusOf(house.sitter)).toBe(401)
    expect(refusalOf(await end(last?.id ?? '', house.keeper))).toEqual([404, 'noSuchSession'])
    const lines = house.desk.journalled.filter(({ kind }) => kind === 'signedOut')
    expect(lines.map(({ by, text }) => `${by}: ${text}`)).toEqual([
      'Bo: Bo is signed out of one browser.',
      'Ada: Bo is signed out of one browser.',
    ])
  })

  test("X1: ending this browser's own sign-in takes its cookie back", async () => {
    const [mine] = await own(house.sitter)
    const ended = await end(mine?.id ?? '', house.sitter)
    expect([ended.statusCode, await statusOf(house.sitter)]).toEqual([204, 401])
    expect(String(ended.headers['set-cookie'])).toMatch(/^brumal_session=; /)
  })

  test('X4: a list of sign-ins holds nothing that would be one', async () => {
    const token = house.keeper.split('=')[1] ?? ''
    const { body } = await house.as(house.keeper, 'GET', '/api/access')
    for (const { tokenHash } of house.people.sessions()) expect(body).not.toContain(tokenHash)
    expect(body).not.toContain(token)
    expect(body).not.toContain('scrypt')
  })
})

describe("one's own password", () => {
  const fresh = 'a new one for the winter'
  const change = (cookie: string, old: string, next = fresh) =>
    house.as(cookie, 'POST', '/api/me/password', { old, password: next })

  test('X1: the new one holds, every other browser is out, and this one has a new cookie', async () => {
    const phone = await house.signedIn('sitter')
    const changed = await change(house.sitter, password.sitter)
    expect([changed.statusCode, changed.body]).toEqual([204, ''])
    const now = cookieOf(changed.headers['set-cookie'])
    expect([await statusOf(now), await statusOf(phone), await statusOf(house.sitter)]).toEqual([
      200, 401, 401,
    ])
    expect(await statusOf(house.keeper)).toBe(200)
    expect((await signInAs('Bo', password.sitter)).statusCode).toBe(401)
    expect((await signInAs('Bo', fresh)).statusCode).toBe(200)
    expect(house.desk.journalled.filter(({ kind }) => kind === 'passwordChanged')).toMatchObject([
      { by: 'Bo' },
    ])
  })

  test('X1: without the old one nothing changes, and guessing it is slowed', async () => {
    for (let i = 0; i < 5; i++)
      expect(refusalOf(await change(house.sitter, `guess ${i}`))).toEqual([403, 'wrongPassword'])
    const slowed = await change(house.sitter, password.sitter)
    expect([...refusalOf(slowed), slowed.headers['retry-after']]).toEqual([429, 'tooManyTries', '1'])
    expect(await statusOf(house.sitter)).toBe(200)
    house.clock.move(1000)
    expect((await change(house.sitter, password.sitter)).statusCode).toBe(204)
  })

  test('X1: a new one of 9 characters is refused, one of 10 is taken', async () => {
    expect(refusalOf(await change(house.sitter, password.sitter, '123456789'))).toEqual([400, 'invalid'])
    expect((await change(house.sitter, password.sitter, '1234567890')).statusCode).toBe(204)
  })

  test('X1: whoever is removed meanwhile does not come back by their new password', async () => {
    const changing = await begun(change(house.sitter, password.sitter), 3)
    expect((await remove('bo')).statusCode).toBe(204)
    expect(refusalOf(await changing.answer)).toEqual([409, 'changedMeanwhile'])
    expect(house.people.people().map(({ id }) => id)).toEqual(['ada'])
  })

  test('X1: a browser that a keeper signs out meanwhile does not come back by its new password', async () => {
    const changing = await begun(change(house.sitter, password.sitter), 3)
    const theirs = (await access()).sessions.find(({ person }) => person === 'bo')
    expect((await house.as(house.keeper, 'DELETE', `/api/sessions/${theirs?.id}`)).statusCode).toBe(204)
    expect(refusalOf(await changing.answer)).toEqual([409, 'changedMeanwhile'])
    expect((await signInAs('Bo', password.sitter)).statusCode).toBe(200)
  })

  test('X1: of two changes at once, one holds', async () => {
    const answers = await Promise.all([
      change(house.sitter, password.sitter, 'the first of the two'),
      change(house.sitter, password.sitter, 'the second of the two'),
    ])
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([204, 409])
  })
})

test('X1: a thousand wrong passwords from ten addresses do not lock the keeper out at home', async () => {
  const from = (remoteAddress: string, given: string) =>
    house.app.inject({
      method: 'POST',
      url: '/api/sign-in',
      remoteAddress,
      payload: { name: 'Ada', password: given },
    })
  const answers = await Promise.all(
    Array.from({ length: 1000 }, (_, i) => from(`203.0.113.${i % 10}`, `guess ${i}`)),
  )
  expect(answers.every(({ statusCode }) => statusCode === 401 || statusCode === 429)).toBe(true)
  expect(answers.filter(({ statusCode }) => statusCode === 401).length).toBeGreaterThan(5)
  expect((await from('203.0.113.3', password.keeper)).statusCode).toBe(429)
  expect((await from('192.168.1.20', password.keeper)).statusCode).toBe(200)
  expect(await statusOf(house.keeper)).toBe(200)
})
