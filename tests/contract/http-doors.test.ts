import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { Me } from '../../schemas/door.ts'
import { days, hours } from '../../schemas/amounts.ts'
import { bindKey, sensorsPassword } from '../support/desk-for-http.ts'
import { cookieOf, type HttpHouse, httpHouse, password } from '../support/http-house.ts'

let house: HttpHouse
afterEach(() => house.close())

const codeOf = (answer: { body: string }): string => Problem.parse(JSON.parse(answer.body)).code

describe('a household with people', () => {
  beforeEach(async () => {
    house = await httpHouse()
  })

  test('X1: an unknown path under /api is closed too, so nobody learns what there is', async () => {
    for (const url of ['/api', '/api/', '/api/nothing', '/API/tonight', '/api/sign-in', '/api?x']) {
      expect([url, (await house.as('', 'GET', url)).statusCode]).toEqual([url, 401])
    }
  })

  test('X1: a sign-in gives a cookie that scripts and other sites cannot use', async () => {
    const answer = await house.as('', 'POST', '/api/sign-in', { name: ' ADA ', password: password.keeper })
    expect(answer.statusCode).toBe(200)
    expect(Me.parse(answer.json()).person).toEqual({ id: 'ada', name: 'Ada', role: 'keeper' })
    const header = String(answer.headers['set-cookie'])
    expect(header).toMatch(/^brumal_session=[\w-]{43}; Max-Age=7776000; Path=\/; HttpOnly; SameSite=Strict$/)
    const me = await house.as(cookieOf(header), 'GET', '/api/me')
    expect(me.json()).toEqual({ person: { id: 'ada', name: 'Ada', role: 'keeper' }, setUpNeeded: false })
    expect(me.headers['cache-control']).toBe('no-store')
  })

  test('X1: the cookie is Secure when a proxy on this machine says https, and a stranger cannot say so', async () => {
    const signIn = (remoteAddress: string) =>
      house.app.inject({
        method: 'POST',
        url: '/api/sign-in',
        remoteAddress,
        headers: { 'x-forwarded-proto': 'https' },
        payload: { name: 'Ada', password: password.keeper },
      })
    expect(String((await signIn('127.0.0.1')).headers['set-cookie'])).toContain('; Secure')
    expect(String((await signIn('192.168.1.77')).headers['set-cookie'])).not.toContain('Secure')
  })

  test('X1: a wrong name and a wrong password get the same answer after about the same time', async () => {
    const asked = async (name: string) => {
      const before = performance.now()
      const answer = await house.as('', 'POST', '/api/sign-in', { name, password: 'not this one' })
      return { answer, ms: performance.now() - before }
    }
    const [known, unknown] = [await asked('Ada'), await asked('Nobody')]
    expect(known.answer.statusCode).toBe(401)
    expect(unknown.answer.body).toBe(known.answer.body)
    expect(unknown.answer.headers['set-cookie']).toBeUndefined()
    // Without the decoy an unknown name would be answered in about 2 ms, a known one in about 200
    expect(unknown.ms).toBeGreaterThan(known.ms / 4)
  })

  test('X1: the cookie alone is the session: signing out ends it, on this device only', async () => {
    const [phone, desktop] = [await house.signedIn('keeper'), await house.signedIn('keeper')]
    const out = await house.as(phone, 'POST', '/api/sign-out', {})
    expect(out.statusCode).toBe(204)
    expect(String(out.headers['set-cookie'])).toMatch(
      /^brumal_session=; .*(?:Max-Age=0|Expires=Thu, 01 Jan 1970)/,
    )
    expect((await house.as(phone, 'GET', '/api/me')).statusCode).toBe(401)
    expect((await house.as(desktop, 'GET', '/api/me')).statusCode).toBe(200)
  })

  test('X1: a new sign-in ends the session that the browser had', async () => {
    const old = await house.signedIn('keeper')
    const again = await house.as(old, 'POST', '/api/sign-in', { name: 'Bo', password: password.sitter })
    expect(again.statusCode).toBe(200)
    expect((await house.as(old, 'GET', '/api/me')).statusCode).toBe(401)
  })

  test('X1: a session lasts 90 days from its last use, to the millisecond', async () => {
    const cookie = await house.signedIn('keeper')
    house.clock.move(days(90) - 1)
    const used = await house.as(cookie, 'GET', '/api/me')
    expect(used.statusCode).toBe(200)
    expect(cookieOf(used.headers['set-cookie'])).toBe(cookie)
    house.clock.move(days(90) - 1)
    expect((await house.as(cookie, 'GET', '/api/me')).statusCode).toBe(200)
    house.clock.move(days(90))
    expect((await house.as(cookie, 'GET', '/api/me')).statusCode).toBe(401)
  })

  test('X1: use is written down hourly, not with every request', async () => {
    const cookie = await house.signedIn('keeper')
    house.clock.move(hours(1) - 1)
    expect((await house.as(cookie, 'GET', '/api/me')).headers['set-cookie']).toBeUndefined()
    house.clock.move(1)
    expect((await house.as(cookie, 'GET', '/api/me')).headers['set-cookie']).toBeDefined()
    expect((await house.as(cookie, 'GET', '/api/me')).headers['set-cookie']).toBeUndefined()
  })

  test('N3: a boot in 1970 does not end the sessions, then or later', async () => {
    const cookie = await house.signedIn('keeper')
    const now = house.clock.now()
    house.clock.move(0 - now)
    expect((await house.as(cookie, 'GET', '/api/me')).statusCode).toBe(200)
    house.clock.move(now)
    expect((await house.as(cookie, 'GET', '/api/me')).statusCode).toBe(200)
  })

  test('X1: forged and broken cookies are nobody', async () => {
    const cookie = await house.signedIn('keeper')
    const forged = [
      'brumal_session=',
      `brumal_session=${'A'.repeat(43)}`,
      `${cookie}A`,
      cookie.slice(0, -1),
      `brumal_session="; ' OR 1=1 --`,
      'brumal_session=%00%ff',
      '__proto__=x; constructor=y',
      ';;;===;',
    ]
    for (const one of forged) expect((await house.as(one, 'GET', '/api/me')).statusCode).toBe(401)
  })

  test('X1: a sitter sees, acknowledges and tends in their own name', async () => {
    const sitter = await house.signedIn('sitter')
    const alarm = house.desk.raise('limit:fridge:temperature:lowCritical' as never)
    const act = (url: string, body: object) => house.as(sitter, 'POST', url, body)
    expect((await act(`/api/alarms/${alarm.id}/acknowledge`, { occurrence: 1 })).statusCode).toBe(200)
    expect((await act('/api/places/fridge/tend', { minutes: 5 })).statusCode).toBe(200)
    expect((await house.as(sitter, 'GET', '/api/tonight')).statusCode).toBe(200)
    expect(house.desk.journalled.filter(({ by }) => by === 'Bo').map(({ kind }) => kind)).toEqual([
      'signedIn',
      'acknowledged',
      'tending',
    ])
  })

  test("X4: a sitter's browser gets neither the sensors' password nor their bind keys, a keeper's does", async () => {
    const [keeper, sitter] = [await house.signedIn('keeper'), await house.signedIn('sitter')]
    expect((await house.as(sitter, 'GET', '/api/connection')).statusCode).toBe(403)
    for (const { method, url, isPublic } of house.app.knownRoutes) {
      if (method !== 'GET' || isPublic || url === '/api/live') continue
      const path = url.replace(':place', 'fridge').replace(':sensor', 'probe-1')
      const { body } = await house.as(sitter, 'GET', path)
      expect(body).not.toContain(bindKey)
      expect(body).not.toContain(sensorsPassword)
    }
    expect((await house.as(keeper, 'GET', '/api/connection')).body).toContain(sensorsPassword)
    expect((await house.as(keeper, 'GET', '/api/household')).body).toContain(bindKey)
  })

  test('X1: wrong passwords are slowed, the right one gets in once the wait is over', async () => {
    const guess = (given: string) => house.as('', 'POST', '/api/sign-in', { name: 'Ada', password: given })
    for (let i = 0; i < 5; i++) expect((await guess('guess')).statusCode).toBe(401)
    const slowed = await guess(password.keeper)
    expect([slowed.statusCode, codeOf(slowed), slowed.headers['retry-after']]).toEqual([
      429,
      'tooManyTries',
      '1',
    ])
    house.clock.move(999)
    expect((await guess(password.keeper)).statusCode).toBe(429)
    house.clock.move(1)
    expect((await guess(password.keeper)).statusCode).toBe(200)
    expect((await guess('guess')).statusCode).toBe(401) // forgotten: five more are free
  })

  test('X1: a keeper gets in from a phone while someone else hammers at the same name', async () => {
    const from = (remoteAddress: string, given: string) =>
      house.app.inject({
        method: 'POST',
        url: '/api/sign-in',
        remoteAddress,
        payload: { name: 'Ada', password: given },
      })
    for (let i = 0; i < 8; i++) await from('192.168.1.66', 'guess')
    expect((await from('192.168.1.66', password.keeper)).statusCode).toBe(429)
    expect((await from('192.168.1.20', password.keeper)).statusCode).toBe(200)
  })

  test('X1: a thousand guesses at once are counted before they are checked', async () => {
    const answers = await Promise.all(
      Array.from({ length: 1000 }, (_, i) =>
        house.as('', 'POST', '/api/sign-in', { name: `name ${i}`, password: 'guess' }),
      ),
    )
    const checked = answers.filter(({ statusCode }) => statusCode === 401)
    expect(checked.length).toBe(10)
    expect(answers.filter(({ statusCode }) => statusCode === 429).length).toBe(990)
    // The 1st, 2nd, 4th and 8th wrong try
    expect(house.desk.journalled.filter(({ kind }) => kind === 'signInFailed').length).toBe(4)
  })

  test('X4: passwords, tokens and what was typed as a name are in no log line and no journal line', async () => {
    const secrets = ['a password typed as name', 'wrong password 1234', password.keeper]
    await house.as('', 'POST', '/api/sign-in', { name: secrets[0], password: secrets[1] })
    await house.as('', 'POST', '/api/sign-in', { name: 'Ada', password: secrets[1] })
    const cookie = await house.signedIn('keeper')
    house.desk.breakOnce(new Error('the desk broke'))
    expect((await house.as(cookie, 'GET', '/api/tonight')).statusCode).toBe(500)
    const kept = [...house.log.lines, ...house.desk.journalled.map((line) => JSON.stringify(line))]
    expect(kept.join('\n')).toContain('the desk broke')
    expect(kept.join('\n')).toContain('signInFailed')
    for (const secret of [...secrets, cookie.split('=')[1] ?? '']) {
      expect(secret.length).toBeGreaterThan(10)
      expect(kept.filter((line) => line.includes(secret))).toEqual([])
    }
  })
})

describe('a household that awaits its first keeper', () => {
  beforeEach(async () => {
    house = await httpHouse({ people: 'none' })
  })
  const first = (code: string) => ({ code, name: 'Ada', password: password.keeper })

  test('X1: the code from the console makes the first keeper, once', async () => {
    expect(house.setUpCode).toMatch(/^[0-9A-HJKMNP-TV-Z]{4}(?:-[0-9A-HJKMNP-TV-Z]{4}){2}$/)
    const code = house.setUpCode ?? ''
    expect((await house.as('', 'GET', '/api/door')).json()).toEqual({ setUpNeeded: true })
    const made = await house.as('', 'POST', '/api/set-up', first(code.toLowerCase().replaceAll('-', ' ')))
    expect([made.statusCode, made.json()]).toEqual([
      200,
      { person: { id: 'ada', name: 'Ada', role: 'keeper' }, setUpNeeded: false },
    ])
    const me = await house.as(cookieOf(made.headers['set-cookie']), 'GET', '/api/me')
    expect(me.statusCode).toBe(200)
    expect((await house.as('', 'GET', '/api/door')).json()).toEqual({ setUpNeeded: false })
    const again = await house.as('', 'POST', '/api/set-up', { ...first(code), name: 'Eve' })
    expect([again.statusCode, codeOf(again)]).toEqual([409, 'alreadySetUp'])
    expect(house.people.secret('setUpCode', () => 'forgotten')).toBe('forgotten')
    expect(
      (await house.as('', 'POST', '/api/sign-in', { name: 'Ada', password: password.keeper })).statusCode,
    ).toBe(200)
    expect(house.desk.journalled.map(({ kind, by }) => `${kind} ${by}`)).toEqual([
      'setUp Ada',
      'signedIn Ada',
    ])
  })

  test('X1: a wrong code makes nobody and guessing is slowed', async () => {
    for (let i = 0; i < 10; i++) {
      const answer = await house.as('', 'POST', '/api/set-up', first('0000-0000-0000'))
      expect([answer.statusCode, codeOf(answer)]).toEqual([403, 'wrongCode'])
    }
    const slowed = await house.as('', 'POST', '/api/set-up', first(house.setUpCode ?? ''))
    expect([slowed.statusCode, codeOf(slowed)]).toEqual([429, 'tooManyTries'])
    expect(house.people.people()).toEqual([])
    house.clock.move(60_000)
    expect((await house.as('', 'POST', '/api/set-up', first(house.setUpCode ?? ''))).statusCode).toBe(200)
  })

  test('X1: two people with the code at once make one keeper', async () => {
    const code = house.setUpCode ?? ''
    const answers = await Promise.all(
      ['Ada', 'Eve'].map((name) => house.as('', 'POST', '/api/set-up', { ...first(code), name })),
    )
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([200, 409])
    expect(house.people.people().length).toBe(1)
  })

  test('X1: a password of 9 characters is refused, one of 10 is taken', async () => {
    const code = house.setUpCode ?? ''
    const short = await house.as('', 'POST', '/api/set-up', { ...first(code), password: '123456789' })
    expect(short.statusCode).toBe(400)
    expect(Problem.parse(short.json()).errors).toEqual([
      { path: 'body/password', message: 'use at least 10 characters' },
    ])
    expect(short.body).not.toContain('123456789')
    const enough = await house.as('', 'POST', '/api/set-up', { ...first(code), password: '1234567890' })
    expect(enough.statusCode).toBe(200)
  })

  test('X4: the code is in no log line and no journal line', async () => {
    const code = house.setUpCode ?? ''
    await house.as('', 'POST', '/api/set-up', first('1111-1111-1111'))
    expect((await house.as('', 'POST', '/api/set-up', first(code))).statusCode).toBe(200)
    const kept = [...house.log.lines, ...house.desk.journalled.map((line) => JSON.stringify(line))].join('\n')
    expect(kept).toContain('set-up with a wrong code')
    expect(kept).not.toContain(code)
    expect(kept).not.toContain('1111-1111')
    expect(kept).not.toContain(password.keeper)
  })
})
