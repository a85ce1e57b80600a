import { describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { WhatIfBasis, WhatIfNow } from '../../schemas/what-if.ts'
import { eachInAHouse } from '../support/http-house.ts'

const path = '/api/what-if'
const ask = { place: 'fridge', over: { season: '2025/26' }, tried: [] }

const house = eachInAHouse('keeper', 'sitter')

const posts = (body: object, by = house.keeper) => house.as(by, 'POST', path, body)
const codeOf = ({ statusCode, body }: { statusCode: number; body: string }) =>
  [statusCode, Problem.parse(JSON.parse(body)).code] as const

describe('a look back over HTTP', () => {
  test('begins with 202, says how far it is, is cancelled and forgotten', async () => {
    const begun = await posts(ask)
    expect(begun.statusCode).toBe(202)
    const { id, state } = WhatIfNow.parse(begun.json())
    expect(state).toBe('running')
    const stateNow = async () =>
      WhatIfNow.parse((await house.as(house.keeper, 'GET', `${path}/${id}`)).json()).state
    expect(await stateNow()).toBe('running')
    expect(codeOf(await posts(ask))).toEqual([409, 'alreadyRuns'])
    expect((await house.as(house.keeper, 'DELETE', `${path}/${id}`)).statusCode).toBe(204)
    expect(await stateNow()).toBe('cancelled')
    expect((await house.as(house.keeper, 'DELETE', `${path}/${id}`)).statusCode).toBe(204)
    expect(codeOf(await house.as(house.keeper, 'GET', `${path}/${id}`))).toEqual([404, 'noSuchRun'])
    expect(codeOf(await house.as(house.keeper, 'DELETE', `${path}/${id}`))).toEqual([404, 'noSuchRun'])
  })

  test('what does not fit is refused with a sentence', async () => {
    const low = { quantity: 'temperature', limit: 'low', value: 5 }
    const high = { quantity: 'temperature', limit: 'high', value: 5 }
    expect(codeOf(await posts({ ...ask, place: 'attic' }))).toEqual([422, 'noSuchPlace'])
    expect(codeOf(await posts({ ...ask, tried: [{ place: 'fridge', limits: [low, high] }] }))).toEqual([
      422,
      'badLimits',
    ])
    expect(codeOf(await house.as(house.keeper, 'GET', '/api/places/attic/what-if'))).toEqual([
      404,
      'noSuchPlace',
    ])
    expect(codeOf(await house.as(house.keeper, 'GET', '/api/places/fridge/what-if?season=winter'))).toEqual([
      400,
      'badSeason',
    ])
  })

  test('X3: more limits than there are, an unknown one, a stretch without an end and an id of no form do not fit', async () => {
    const low = { quantity: 'temperature', limit: 'low', value: 3 }
    const tried = (limits: object[], more: object = {}) => ({
      ...ask,
      tried: [{ place: 'fridge', limits, ...more }],
    })
    const bodies = [
      {},
      { ...ask, over: { from: 5 } },
      { ...ask, over: { season: '2025/26', from: 5, to: 6 } },
      { ...ask, extra: 1 },
      tried([{ ...low, limit: 'lower' }]),
      tried([{ ...low, deadband: -1 }]),
      tried([{ ...low, for: 0.5 }]),
      tried(Array.from({ length: 25 }, () => low)),
      tried([], { silentAfter: 0 }),
      tried([], { guard: 'maybe' }),
      { ...ask, tried: Array.from({ length: 101 }, () => ({ place: 'fridge' })) },
    ]
    for (const body of bodies) expect((await posts(body)).statusCode, JSON.stringify(body)).toBe(400)
    expect((await house.as(house.keeper, 'GET', `${path}/..%2F..`)).statusCode).toBe(400)
    expect(
      (await posts(tried([{ ...low, value: null, for: 0, clearFor: 0, deadband: 0 }], { guard: 'off' })))
        .statusCode,
    ).toBe(202)
  })

  test('X1: a sitter may look and begins nothing, nor ends what a keeper began', async () => {
    expect(codeOf(await posts(ask, house.sitter))).toEqual([403, 'keeperOnly'])
    const { id } = WhatIfNow.parse((await posts(ask)).json())
    expect((await house.as(house.sitter, 'GET', `${path}/${id}`)).statusCode).toBe(200)
    expect(codeOf(await house.as(house.sitter, 'DELETE', `${path}/${id}`))).toEqual([403, 'keeperOnly'])
    const basis = await house.as(house.sitter, 'GET', '/api/places/fridge/what-if')
    expect(WhatIfBasis.parse(basis.json())).toMatchObject({ place: 'fridge', running: id })
  })
})
