import { randomBytes } from 'node:crypto'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { days, minutes } from '../../schemas/amounts.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import { Problem } from '../../schemas/api.ts'
import type { ChannelId, ContactId } from '../../schemas/ids.ts'
import { AnswerNow } from '../../schemas/telling-now.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'

const bo = 'bo' as ContactId
const ada = 'ada' as ContactId

let house: HttpHouse
let alarm: Alarm
beforeEach(async () => {
  house = await httpHouse()
  const keeper = await house.signedIn('keeper')
  for (const id of [ada, bo])
    await house.as(keeper, 'PUT', `/api/contacts/${id}`, { id, name: id === ada ? 'Ada' : 'Bo', person: id })
  await house.as(keeper, 'PUT', '/api/contacts/bo/channels/relay', {
    channel: { id: 'relay', kind: 'relay', label: 'Relay', url: 'https://relay.example/toads' },
  })
  alarm = house.desk.raise('limit:fridge:temperature:lowCritical' as never)
})
afterEach(() => house.close())

const linkOf = (contact: ContactId) => house.desk.answers.linkFor(contact, alarm)
const answer = (what: string, body: unknown) =>
  house.as('', 'POST', what === '' ? '/api/answer' : `/api/answer/${what}`, body)
const now = async (what: string, body: unknown) => AnswerNow.parse((await answer(what, body)).json())
const refusalOf = (one: { statusCode: number; body: string }) =>
  [one.statusCode, Problem.parse(JSON.parse(one.body)).code] as const
const refusal = async (what: string, body: unknown) => refusalOf(await answer(what, body))

test('A6: whoever holds the link sees how it stands and acknowledges, signed in nowhere', async () => {
  const token = linkOf(bo)
  expect(await now('', { token })).toMatchObject({
    purpose: 'answer',
    name: 'Bo',
    canAcknowledge: true,
    canShelve: false,
  })
  expect(await now('acknowledge', { token })).toMatchObject({
    alarm: { state: { name: 'acknowledged', by: 'Bo' } },
  })
  expect(await now('', { token })).toMatchObject({ canAcknowledge: false })
  const again = await answer('acknowledge', { token })
  expect([again.statusCode, again.headers['cache-control']]).toEqual([200, 'no-store'])
  expect(house.desk.journalled.filter(({ kind }) => kind === 'acknowledged').length).toBe(1)
})

test('A3: a link tends for as long as the rule allows', async () => {
  const token = linkOf(bo)
  expect((await answer('tend', { token, minutes: 30 })).statusCode).toBe(200)
  expect(await refusal('tend', { token, minutes: 31 })).toEqual([422, 'tooLong'])
  expect(await refusal('tend', { token, minutes: 1.5 })).toEqual([400, 'invalid'])
  expect(house.desk.journalled.filter(({ kind }) => kind === 'tending').map(({ by }) => by)).toEqual(['Bo'])
})

test("A2: a keeper's link shelves with a reason, a sitter's does not", async () => {
  const shelve = (token: string, more: object = {}) =>
    answer('shelve', { token, minutes: 30, reason: 'defrosting', ...more })
  expect(refusalOf(await shelve(linkOf(bo)))).toEqual([403, 'keeperOnly'])
  expect(refusalOf(await shelve(linkOf(ada), { reason: ' ' }))).toEqual([400, 'invalid'])
  expect(refusalOf(await shelve(linkOf(ada), { minutes: 61 }))).toEqual([422, 'tooLong'])
  expect((await shelve(linkOf(ada))).json()).toMatchObject({
    alarm: { state: { name: 'shelved', by: 'Ada', until: house.clock.now() + minutes(30) } },
  })
})

test('A4: the link of a test says that it rang, and answers no alarm', async () => {
  const ring = house.desk.answers.linkFor(bo, 'relay' as ChannelId)
  expect(await now('', { token: ring })).toMatchObject({ purpose: 'ring', alarm: null })
  expect((await answer('rang', { token: ring })).statusCode).toBe(200)
  expect(house.desk.journalled.filter(({ kind }) => kind === 'rang').map(({ by }) => by)).toEqual(['Bo'])
  expect(await refusal('acknowledge', { token: ring })).toEqual([403, 'badLink'])
  expect(await refusal('rang', { token: linkOf(bo) })).toEqual([403, 'badLink'])
  house.desk.removeChannel(bo, 'relay' as ChannelId, 'Ada')
  expect(await refusal('rang', { token: ring })).toEqual([404, 'noSuchChannel'])
})

test('X1: a link is good for one raising only, and until it ends', async () => {
  const token = linkOf(bo)
  house.desk.raise(alarm.id)
  expect(await refusal('acknowledge', { token })).toEqual([409, 'earlierOccurrence'])
  house.clock.move(days(2) - 1)
  expect((await answer('', { token })).statusCode).toBe(200)
  house.clock.move(1)
  for (const what of ['', 'acknowledge']) expect(await refusal(what, { token })).toEqual([410, 'oldLink'])
})

test('X1: a link opens nothing else, as a cookie or as a token', async () => {
  const token = linkOf(ada)
  expect((await house.as(`brumal_session=${token}`, 'GET', '/api/tonight')).statusCode).toBe(401)
  expect((await house.bearing(token, 'GET', '/api/tonight')).statusCode).toBe(401)
  expect((await house.bearing(`brumal_${token}`, 'GET', '/api/tonight')).statusCode).toBe(401)
  expect((await house.as('', 'POST', '/api/join', { token, password: 'long enough to be' })).statusCode).toBe(
    403,
  )
})

test('X4: a link is never taken from an address, which logs and histories keep', async () => {
  const token = linkOf(bo)
  for (const url of [
    `/api/answer?token=${token}`,
    `/api/answer/acknowledge?token=${token}`,
    `/api/answer/${token}`,
  ])
    for (const method of ['GET', 'POST'] as const) {
      const { statusCode } = await house.as('', method, url, method === 'POST' ? {} : undefined)
      expect([url, method, statusCode >= 400]).toEqual([url, method, true])
    }
  expect(house.desk.alarms().standing[0]?.state.name).toBe('unacknowledged')
})

test('X1: forged links are slowed for whoever guesses, and no good link from elsewhere is', async () => {
  const token = linkOf(bo)
  const from = (remoteAddress: string, given: string) =>
    house.app.inject({
      method: 'POST',
      url: '/api/answer/acknowledge',
      remoteAddress,
      payload: { token: given },
    })
  const statuses = []
  for (let i = 0; i < 1000; i++)
    statuses.push((await from('203.0.113.7', randomBytes(32).toString('base64url'))).statusCode)
  expect(statuses.slice(0, 10)).toEqual(Array.from({ length: 10 }, () => 403))
  expect(statuses.slice(10).every((status) => status === 429)).toBe(true)
  const slowed = await from('203.0.113.7', token)
  expect([...refusalOf(slowed), slowed.headers['retry-after']]).toEqual([429, 'tooManyTries', '1'])
  expect((await from('192.168.1.20', token)).statusCode).toBe(200)
  // The 1st, 2nd, 4th and 8th wrong try
  expect(house.desk.journalled.filter(({ kind }) => kind === 'signInFailed').length).toBe(4)
})

test('X1: links that are too old, or that fail here, are no guesses', async () => {
  const old = linkOf(bo)
  house.clock.move(days(2))
  for (let i = 0; i < 30; i++) expect(await refusal('', { token: old })).toEqual([410, 'oldLink'])
  const token = linkOf(bo)
  vi.spyOn(house.desk.answers, 'look').mockImplementation(() => {
    throw new Error('the disk is full')
  })
  for (let i = 0; i < 30; i++) expect(await refusal('', { token })).toEqual([500, 'unexpected'])
  expect((await answer('acknowledge', { token })).statusCode).toBe(200)
})

test('X1: wrong links do not slow the sign-in, and a good one has no wrong password forgotten', async () => {
  const signIn = (password: string) => house.as('', 'POST', '/api/sign-in', { name: 'nobody', password })
  for (let i = 0; i < 11; i++) await answer('', { token: `forged ${i}` })
  expect(await refusal('', { token: 'forged' })).toEqual([429, 'tooManyTries'])
  for (let i = 0; i < 5; i++) expect((await signIn(`guess ${i}`)).statusCode).toBe(401)
  house.clock.move(60_000)
  for (let i = 0; i < 3; i++) await signIn('guess')
  expect((await answer('', { token: linkOf(bo) })).statusCode).toBe(200)
  expect((await signIn('guess')).statusCode).toBe(429)
})

test('X3: a token of 600 signs is looked at, one more is refused unseen', async () => {
  expect(await refusal('', { token: 'x'.repeat(600) })).toEqual([403, 'badLink'])
  expect(await refusal('', { token: 'x'.repeat(601) })).toEqual([400, 'invalid'])
  expect(await refusal('', { token: '' })).toEqual([400, 'invalid'])
})
