import { expect, test, vi } from 'vitest'
import { invitationLasts, mostInvitations } from '../../daemon/http/doors/invitations.ts'
import { AccessNow, InvitationFor, Invited } from '../../schemas/access.ts'
import { Problem } from '../../schemas/api.ts'
import { Me } from '../../schemas/door.ts'
import type { PersonId } from '../../schemas/ids.ts'
import { cookieOf, eachInAHouse } from '../support/http-house.ts'
import { until } from '../support/until.ts'

const house = eachInAHouse('keeper')

const chosen = 'a hedgehog in the leaves'
const refusalOf = (answer: { statusCode: number; body: string }) =>
  [answer.statusCode, Problem.parse(JSON.parse(answer.body)).code] as const
const invite = (name: string, role = 'sitter') =>
  house.as(house.keeper, 'POST', '/api/invitations', { name, role })
async function tokenFor(name: string, role = 'sitter'): Promise<string> {
  const { link } = Invited.parse((await invite(name, role)).json())
  expect(link).toMatch(/^https:\/\/brumal\.home\.example\/join#[\w-]{43}$/)
  return link.split('#')[1] ?? ''
}
const look = (token: string) => house.as('', 'POST', '/api/invitation', { token })
const join = (token: string, password = chosen) => house.as('', 'POST', '/api/join', { token, password })
const access = async () => AccessNow.parse((await house.as(house.keeper, 'GET', '/api/access')).json())

test('X1: whoever opens the link sees whom it is for, chooses a password and is in, as what they were invited', async () => {
  const token = await tokenFor(' Cleo ')
  expect(InvitationFor.parse((await look(token)).json())).toEqual({
    name: 'Cleo',
    role: 'sitter',
    household: 'Under the stairs',
  })
  const joined = await join(token)
  expect(Me.parse(joined.json()).person).toEqual({ id: 'cleo', name: 'Cleo', role: 'sitter' })
  expect(String(joined.headers['set-cookie'])).toMatch(/; HttpOnly; SameSite=Strict$/)
  const cookie = cookieOf(joined.headers['set-cookie'])
  expect((await house.as(cookie, 'GET', '/api/tonight')).statusCode).toBe(200)
  expect((await house.as(cookie, 'GET', '/api/access')).statusCode).toBe(403)
  expect((await house.as('', 'POST', '/api/sign-in', { name: 'cleo', password: chosen })).statusCode).toBe(
    200,
  )
  expect((await access()).invitations).toEqual([])
  expect(house.desk.journalled.filter(({ kind }) => kind === 'invited' || kind === 'joined')).toMatchObject([
    { kind: 'invited', by: 'Ada', text: 'Cleo as a sitter' },
    { kind: 'joined', by: 'Cleo', text: 'as a sitter, invited by Ada' },
  ])
})

test('X1: an invitation is good once: replayed, it is nobody', async () => {
  const token = await tokenFor('Cleo')
  expect((await join(token)).statusCode).toBe(200)
  expect(refusalOf(await join(token))).toEqual([403, 'badLink'])
  expect(refusalOf(await look(token))).toEqual([403, 'badLink'])
})

test('X1: of two who join with it at once, one comes in', async () => {
  const token = await tokenFor('Cleo')
  const answers = await Promise.all([join(token), join(token, 'somebody else chose this')])
  expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([200, 403])
  expect(house.people.people().filter(({ name }) => name === 'Cleo').length).toBe(1)
  const [winner] = answers.filter(({ statusCode }) => statusCode === 200)
  const password = winner === answers[0] ? chosen : 'somebody else chose this'
  expect((await house.as('', 'POST', '/api/sign-in', { name: 'Cleo', password })).statusCode).toBe(200)
})

test('X1: it ends after 7 days, to the millisecond, and says so', async () => {
  const token = await tokenFor('Cleo')
  house.clock.move(invitationLasts - 1)
  expect((await look(token)).statusCode).toBe(200)
  house.clock.move(1)
  expect(refusalOf(await look(token))).toEqual([410, 'oldLink'])
  expect(refusalOf(await join(token))).toEqual([410, 'oldLink'])
  expect((await access()).invitations).toEqual([])
  expect(house.people.people().length).toBe(2)
})

test('X1: what a keeper withdraws is over, also for whoever is choosing a password', async () => {
  const token = await tokenFor('Cleo')
  const [{ id } = { id: '' }] = (await access()).invitations
  const looked = vi.spyOn(house.people, 'invitations')
  const joining = Promise.resolve(join(token)) // begun: inject alone waits for an await
  await until(() => looked.mock.calls.length > 0, 'the link to be looked at')
  expect((await house.as(house.keeper, 'DELETE', `/api/invitations/${id}`)).statusCode).toBe(204)
  const late = await joining
  expect(refusalOf(late)).toEqual([403, 'badLink'])
  expect(late.json()).toMatchObject({ detail: 'This invitation has just been used or withdrawn.' })
  expect(refusalOf(await house.as(house.keeper, 'DELETE', `/api/invitations/${id}`))).toEqual([
    404,
    'noSuchInvitation',
  ])
  expect(house.people.people().length).toBe(2)
})

test('X1: a name is had once, whatever its case and spacing, among people and among invitations', async () => {
  expect(refusalOf(await invite(' ADA '))).toEqual([409, 'nameTaken'])
  await tokenFor('Cleo')
  expect(refusalOf(await invite('cleo'))).toEqual([409, 'nameTaken'])
  house.clock.move(invitationLasts)
  expect((await invite('cleo')).statusCode).toBe(200)
})

test('X1: two people whose names slug alike are two people', async () => {
  const ids = []
  for (const name of ['Bö', '博', '雅'])
    ids.push(Me.parse((await join(await tokenFor(name))).json()).person.id)
  expect(ids).toEqual(['bo-2', 'unnamed', 'unnamed-2'])
  const long = 'x'.repeat(60)
  const longIds = []
  for (const name of [long, `${long.slice(1)}y`])
    longIds.push(Me.parse((await join(await tokenFor(name))).json()).person.id)
  expect(longIds).toEqual(['x'.repeat(40), `${'x'.repeat(38)}-2`])
})

test('X1: whoever comes later does not become the person of a contact that outlived its own', async () => {
  await join(await tokenFor('Cleo'))
  await house.as(house.keeper, 'PUT', '/api/contacts/sister', {
    id: 'sister',
    name: 'Sister',
    person: 'cleo',
  })
  house.people.removePerson('cleo' as PersonId) // past the desk, as a tool at the database would
  expect(house.desk.household().contacts.map(({ person }) => person)).toEqual(['cleo'])
  const joined = await join(await tokenFor('Cleo'))
  expect(Me.parse(joined.json()).person.id).toBe('cleo-2')
})

test(`X3: ${mostInvitations} may be open, one more is refused, and one that has ended makes room`, async () => {
  for (let i = 0; i < mostInvitations; i++) expect((await invite(`guest ${i}`)).statusCode).toBe(200)
  expect(refusalOf(await invite('one more'))).toEqual([409, 'tooMany'])
  const [{ id } = { id: '' }] = (await access()).invitations
  await house.as(house.keeper, 'DELETE', `/api/invitations/${id}`)
  expect((await invite('one more')).statusCode).toBe(200)
})

test('X1: guessing is slowed for the guesser, and a good link from elsewhere is not', async () => {
  const token = await tokenFor('Cleo')
  const from = (remoteAddress: string, payload: object, url = '/api/invitation') =>
    house.app.inject({ method: 'POST', url, remoteAddress, payload })
  const guesses = []
  for (let i = 0; i < 1000; i++) {
    const url = i % 2 === 0 ? '/api/invitation' : '/api/join'
    const body = { token: `guess ${i}`, ...(i % 2 === 1 && { password: chosen }) }
    guesses.push((await from('203.0.113.7', body, url)).statusCode)
  }
  expect(guesses.filter((status) => status === 403).length).toBe(10)
  expect(guesses.filter((status) => status === 429).length).toBe(990)
  const slowed = await from('203.0.113.7', { token })
  expect([...refusalOf(slowed), slowed.headers['retry-after']]).toEqual([429, 'tooManyTries', '1'])
  expect((await from('192.168.1.20', { token })).statusCode).toBe(200)
  house.clock.move(1000)
  expect((await from('203.0.113.7', { token })).statusCode).toBe(200)
  // The 1st, 2nd, 4th and 8th wrong try
  expect(house.desk.journalled.filter(({ kind }) => kind === 'signInFailed').length).toBe(4)
})

test('X1: a password that is too short leaves the invitation as it was', async () => {
  const token = await tokenFor('Cleo')
  expect(refusalOf(await join(token, '123456789'))).toEqual([400, 'invalid'])
  expect((await join(token, '1234567890')).statusCode).toBe(200)
})

test('X1: a keeper who is no longer one cannot come back by an invitation that they made', async () => {
  const cleo = cookieOf((await join(await tokenFor('Cleo', 'keeper'))).headers['set-cookie'])
  const back = await house.as(cleo, 'POST', '/api/invitations', { name: 'Cleo again', role: 'keeper' })
  const token = Invited.parse(back.json()).link.split('#')[1] ?? ''
  const others = await tokenFor('Dora')
  expect((await house.as(house.keeper, 'PUT', '/api/people/cleo/role', { role: 'sitter' })).statusCode).toBe(
    200,
  )
  expect(refusalOf(await join(token))).toEqual([403, 'badLink'])
  expect((await join(others)).statusCode).toBe(200)
})

test('X1: the browser that joins is signed out as whoever it was', async () => {
  const token = await tokenFor('Cleo')
  const answer = await house.as(house.keeper, 'POST', '/api/join', { token, password: chosen })
  expect(answer.statusCode).toBe(200)
  expect((await house.as(house.keeper, 'GET', '/api/me')).statusCode).toBe(401)
})
