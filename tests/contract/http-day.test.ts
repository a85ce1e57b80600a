import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { Problem } from '../../schemas/api.ts'
import { CalendarNow, MadeCalendar } from '../../schemas/calendar.ts'
import { CultureNow } from '../../schemas/culture.ts'
import { DayList } from '../../schemas/season.ts'
import { tryBounds } from '../../daemon/http/doors/try-limit.ts'
import { eachInAHouse } from '../support/http-house.ts'

const house = eachInAHouse('keeper', 'sitter')

const pathIn = (address: string): string => new URL(address).pathname
const make = async (who: string) =>
  MadeCalendar.parse((await house.as(who, 'POST', '/api/calendar', {})).json())
const madeAt = async (who: string) =>
  CalendarNow.parse((await house.as(who, 'GET', '/api/calendar')).json()).madeAt
const feed = (path: string) => house.as('', 'GET', path)
const codeOf = (answer: { body: string }) => Problem.parse(JSON.parse(answer.body)).code

describe('S4: the day list', () => {
  test('what is due and what comes, two weeks ahead unless asked otherwise, for a sitter too', async () => {
    const list = DayList.parse((await house.as(house.sitter, 'GET', '/api/day')).json())
    expect(list.due.map(({ id }) => id)).toEqual(['air:fridge:2026-12-23'])
    expect(list.coming.map(({ id }) => id)).toEqual(['air:fridge:2026-12-31'])
    const today = DayList.parse((await house.as(house.sitter, 'GET', '/api/day?days=6')).json())
    expect(today.coming).toEqual([])
  })

  test.each(['-1', '367', 'x', ''])('X3: days=%s is refused', async (days) => {
    expect((await house.as(house.keeper, 'GET', `/api/day?days=${days}`)).statusCode).toBe(400)
  })

  test('S5: cultures with what is known of them', async () => {
    const list = z.array(CultureNow).parse((await house.as(house.sitter, 'GET', '/api/cultures')).json())
    expect(list.map(({ name, weeksLeft }) => [name, weeksLeft])).toEqual([['Cricket tub', null]])
  })

  test.each(['/api/day', '/api/cultures', '/api/calendar'])('X1: %s asks for a sign-in', async (path) => {
    expect((await house.as('', 'GET', path)).statusCode).toBe(401)
  })
})

describe('X1: a calendar feed opens by its secret address alone', () => {
  test('it is made once, told once, and read without a sign-in', async () => {
    expect(await madeAt(house.keeper)).toBeNull()
    const made = await make(house.keeper)
    expect(made.address).toMatch(/^https:\/\/brumal\.home\.example\/calendar\/[\w-]{43}\.ics$/)
    expect(await madeAt(house.keeper)).toBe(house.clock.now())
    const answer = await feed(pathIn(made.address))
    expect(answer.statusCode).toBe(200)
    expect(answer.headers['content-type']).toBe('text/calendar; charset=utf-8')
    expect(answer.body).toContain('SUMMARY:Late: Air Cellar fridge\r\n')
    expect(answer.body).toContain('DTSTART;VALUE=DATE:20261231\r\n')
  })

  test('everybody has their own: a sitter sees and ends theirs only', async () => {
    const [ours, theirs] = [await make(house.keeper), await make(house.sitter)]
    expect((await house.as(house.sitter, 'DELETE', '/api/calendar')).statusCode).toBe(204)
    expect((await house.as(house.sitter, 'DELETE', '/api/calendar')).statusCode).toBe(404)
    expect((await feed(pathIn(theirs.address))).statusCode).toBe(404)
    expect((await feed(pathIn(ours.address))).statusCode).toBe(200)
  })

  test('made anew, the address before it is dead', async () => {
    const [old, next] = [await make(house.keeper), await make(house.keeper)]
    expect((await feed(pathIn(old.address))).statusCode).toBe(404)
    expect((await feed(pathIn(next.address))).statusCode).toBe(200)
  })

  test('whoever is let in no longer reads it no longer, and nobody who comes later inherits it', async () => {
    const made = await make(house.sitter)
    const bo = house.people.people().find(({ id }) => id === 'bo')
    if (bo === undefined) throw new Error('Bo is gone')
    expect((await house.as(house.keeper, 'DELETE', '/api/people/bo')).statusCode).toBe(204)
    expect((await feed(pathIn(made.address))).statusCode).toBe(404)
    house.people.savePerson(bo)
    expect((await feed(pathIn(made.address))).statusCode).toBe(404)
  })

  test('a wrong address looks like any that is not there, and guessing is slowed', async () => {
    const wrong = `/calendar/${'a'.repeat(43)}.ics`
    const [one, other] = [await feed(wrong), await feed('/calendar/nothing/here')]
    expect([one.statusCode, one.body]).toEqual([404, other.body])
    for (let n = 1; n < tryBounds.freeForAddress; n += 1) expect((await feed(wrong)).statusCode).toBe(404)
    const slowed = await feed(wrong)
    expect([slowed.statusCode, codeOf(slowed)]).toEqual([429, 'tooManyTries'])
    expect(Number(slowed.headers['retry-after'])).toBeGreaterThan(0)
  })

  test.each(['', '.ics', 'x.ics', `${'a'.repeat(43)}`, `${'é'.repeat(43)}.ics`])(
    '"%s" is no feed',
    async (file) => {
      await make(house.keeper)
      expect((await feed(`/calendar/${encodeURIComponent(file)}`)).statusCode).toBe(404)
    },
  )

  test('reading it counts as no wrong try', async () => {
    const path = pathIn((await make(house.keeper)).address)
    for (let n = 0; n < tryBounds.freeForAddress * 2; n += 1) expect((await feed(path)).statusCode).toBe(200)
  })

  test('X4: the secret is kept as a hash, and stands in no log, journal line or answer but the one that made it', async () => {
    const made = await make(house.keeper)
    const secret = /([\w-]{43})\.ics$/.exec(made.address)?.[1] ?? 'none'
    await feed(pathIn(made.address))
    await feed(`/calendar/${secret.slice(1)}.ics`)
    expect(house.people.secret('calendarFeeds', () => '')).not.toContain(secret)
    expect(house.log.lines.join('\n')).not.toContain(secret)
    expect(JSON.stringify(house.desk.journalled)).not.toContain(secret.slice(1))
    expect((await house.as(house.keeper, 'GET', '/api/calendar')).body).not.toContain(secret)
    expect((await feed(pathIn(made.address))).body).not.toContain(secret)
  })

  test('no access token makes, sees or ends one', async () => {
    const secret = await house.token('keep')
    for (const [method, body] of [
      ['GET', undefined],
      ['POST', {}],
      ['DELETE', undefined],
    ] as const)
      expect((await house.bearing(secret, method, '/api/calendar', body)).statusCode).toBe(403)
  })

  test('while the practice household runs it says that it comes back, and gives nothing invented', async () => {
    const path = pathIn((await make(house.keeper)).address)
    house.desk.switchPractice(true, 'Ada')
    expect((await feed(path)).statusCode).toBe(503)
    house.desk.switchPractice(false, 'Ada')
    expect((await feed(path)).statusCode).toBe(200)
  })
})
