import { beforeEach, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { JournalLine, Problem } from '../../schemas/api.ts'
import { JournalKind } from '../../schemas/journal.ts'
import { hours, later } from '../../schemas/amounts.ts'
import { eachInAHouse } from '../support/http-house.ts'

const house = eachInAHouse('keeper')
beforeEach(async () => {
  await house.as(house.keeper, 'POST', '/api/places/fridge/tend', { minutes: 5 })
  house.clock.move(hours(2))
  await house.as(house.keeper, 'POST', '/api/places/fridge/tend', { minutes: 0 })
})

const kinds = async (query: string, by = house.keeper) =>
  z
    .array(JournalLine)
    .parse((await house.as(by, 'GET', `/api/journal${query}`)).json())
    .map(({ kind, place }) => [kind, place])
const refusal = async (query: string) => {
  const answer = await house.as(house.keeper, 'GET', `/api/journal${query}`)
  return [answer.statusCode, Problem.parse(answer.json()).errors?.map(({ path }) => path)]
}

describe('the journal over HTTP', () => {
  test('gives the lines of the places and kinds asked for, each as often as needed, from an instant on', async () => {
    expect(await kinds('?from=0&place=fridge')).toEqual([
      ['tended', 'fridge'],
      ['tending', 'fridge'],
    ])
    expect(await kinds('?from=0&kind=tending&kind=raised')).toEqual([['tending', 'fridge']])
    expect(await kinds('?from=0&place=box&place=fridge&kind=tended')).toEqual([['tended', 'fridge']])
    expect(await kinds('?from=0&place=box')).toEqual([])
    const since = later(house.clock.now(), -hours(1))
    expect(await kinds(`?from=${since}&place=fridge`)).toEqual([['tended', 'fridge']])
    expect(await kinds(`?from=${new Date(since).toISOString()}&place=fridge&limit=1`)).toHaveLength(1)
  })

  test('X1: a sitter may read it, and nobody who is not signed in', async () => {
    expect(await kinds('?from=0&place=fridge', await house.signedIn('sitter'))).toHaveLength(2)
    expect((await house.as('', 'GET', '/api/journal?from=0&place=fridge')).statusCode).toBe(401)
  })

  test('X3: picked lines need a beginning; places and kinds are bounded, and words that do not exist refused', async () => {
    expect(await refusal('?place=fridge')).toEqual([400, [expect.stringMatching(/from$/)]])
    expect(await refusal('?kind=raised')).toEqual([400, [expect.stringMatching(/from$/)]])
    const places = (count: number) => `?from=0${'&place=fridge'.repeat(count)}`
    expect(await kinds(places(64))).toHaveLength(2)
    expect((await refusal(places(65)))[0]).toBe(400)
    const all = JournalKind.options.map((kind) => `&kind=${kind}`).join('')
    expect((await kinds(`?from=0${all}`)).length).toBeGreaterThan(1)
    expect((await refusal(`?from=0${all}&kind=raised`))[0]).toBe(400)
    expect((await refusal('?from=0&kind=rained'))[0]).toBe(400)
    expect((await refusal('?from=0&place='))[0]).toBe(400)
    expect((await refusal('?from=yesterday&place=fridge'))[0]).toBe(400)
  })
})
