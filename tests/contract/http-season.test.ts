import { beforeEach, expect, test } from 'vitest'
import { Animal } from '../../schemas/animal.ts'
import { AnimalStanding, PlanProposal, SeasonNow } from '../../schemas/season.ts'
import { localDate } from '../../shared/time/wall.ts'
import { eachInAHouse, type Method } from '../support/http-house.ts'

const house = eachInAHouse('keeper', 'sitter')
beforeEach(async () => {
  const willow = {
    id: 'willow',
    name: 'Willow',
    species: 'bufo-bufo',
    place: 'fridge',
    mode: 'goesDown',
    plan: [],
  }
  expect((await ask('PUT', '/api/animals/willow', willow)).statusCode).toBe(200)
})

const ask = (method: Method, path: string, body?: object, who = house.keeper) =>
  house.as(who, method, path, body)
async function refusal(
  method: Method,
  path: string,
  body?: object,
  who = house.keeper,
): Promise<[number, string]> {
  const answer = await ask(method, path, body, who)
  return [answer.statusCode, answer.json<{ code: string }>().code]
}
const wish = { by: 'wake', on: '2027-03-20', weeks: 6 }
const proposed = async (): Promise<PlanProposal> =>
  PlanProposal.parse((await ask('POST', '/api/animals/willow/proposal', wish)).json())

test('S3: a wish gives a proposal, its steps are kept as the draft, and the season shows them', async () => {
  const { steps } = await proposed()
  expect(steps.map(({ phase, from }) => `${phase} ${localDate(from, 'Europe/Vienna')}`).slice(-2)).toEqual([
    'warmUp 2027-03-20',
    'awake 2027-03-23',
  ])
  const answer = await ask('PUT', '/api/animals/willow/draft', { steps, wish })
  expect([answer.statusCode, Animal.parse(answer.json())]).toMatchObject([200, { draft: steps, wish }])
  const season = SeasonNow.parse((await ask('GET', '/api/season')).json())
  expect(season.rows).toMatchObject([{ animal: 'willow', draft: steps, gate: { isOpen: false } }])
  const standing = AnimalStanding.parse((await ask('GET', '/api/animals/willow/standing')).json())
  expect(standing.gate?.isOpen).toBe(false)
})

test('S1, S3: what is past a cap or not ready is refused with its code and its sentence, and taken with a reason', async () => {
  const { steps } = await proposed()
  const long = steps.map((step) =>
    step.phase === 'warmUp' || step.phase === 'awake' ? { ...step, from: step.from + 86_400_000 } : step,
  )
  expect(await refusal('PUT', '/api/animals/willow/draft', { steps: long, wish: null })).toEqual([
    422,
    'pastCap',
  ])
  expect(
    (await ask('PUT', '/api/animals/willow/draft?anyway=%20its%20vet%20', { steps: long, wish: null }))
      .statusCode,
  ).toBe(200)
  expect(house.desk.journalled.at(-1)?.text).toBe('Planned. its vet')
  expect(await refusal('POST', '/api/animals/willow/cooling', {})).toEqual([409, 'notReady'])
  const begun = await ask('POST', '/api/animals/willow/cooling', { anyway: 'it is late' })
  expect([begun.statusCode, Animal.parse(begun.json()).draft]).toEqual([200, []])
  expect(await refusal('POST', '/api/animals/willow/cooling', {})).toEqual([409, 'nothingPlanned'])
  const warmed = await ask('POST', '/api/animals/willow/warming', { why: 'it coughs' })
  expect(Animal.parse(warmed.json()).plan.at(-2)?.phase).toBe('warmUp')
  expect(await refusal('POST', '/api/animals/willow/warming', { why: 'again' })).toEqual([409, 'notDown'])
  expect(house.desk.journalled.at(-1)).toMatchObject({
    kind: 'warmingBegan',
    animal: 'willow',
    text: 'it coughs',
  })
})

test('of an animal that is not there each answers 404', async () => {
  for (const [method, path, body] of [
    ['GET', 'standing', undefined],
    ['POST', 'proposal', wish],
    ['PUT', 'draft', { steps: [], wish: null }],
    ['POST', 'cooling', {}],
    ['POST', 'warming', { why: 'x' }],
  ] as const)
    expect([path, await refusal(method, `/api/animals/nobody/${path}`, body)]).toEqual([
      path,
      [404, 'noSuchAnimal'],
    ])
})

test('X1: a sitter sees and reckons, and changes nothing; nobody else is let in', async () => {
  expect((await ask('GET', '/api/season', undefined, house.sitter)).statusCode).toBe(200)
  expect((await ask('GET', '/api/animals/willow/standing', undefined, house.sitter)).statusCode).toBe(200)
  expect((await ask('POST', '/api/animals/willow/proposal', wish, house.sitter)).statusCode).toBe(200)
  const { steps } = await proposed()
  for (const [method, path, body] of [
    ['PUT', 'draft', { steps, wish: null }],
    ['POST', 'cooling', { anyway: 'x' }],
    ['POST', 'warming', { why: 'x' }],
  ] as const)
    expect(await refusal(method, `/api/animals/willow/${path}`, body, house.sitter)).toEqual([
      403,
      'keeperOnly',
    ])
  const look = await house.token('look')
  expect((await house.bearing(look, 'POST', '/api/animals/willow/proposal', wish)).statusCode).toBe(200)
  expect((await house.bearing(look, 'POST', '/api/animals/willow/cooling', { anyway: 'x' })).statusCode).toBe(
    403,
  )
  expect((await house.app.inject({ method: 'GET', url: '/api/season' })).statusCode).toBe(401)
})

test('X3: a day out of all reckoning, no reason, a long one and unknown keys are refused', async () => {
  const { steps } = await proposed()
  for (const [method, path, body] of [
    ['POST', 'proposal', { ...wish, on: '1989-12-31' }],
    ['POST', 'proposal', { ...wish, on: '2190-01-01' }],
    ['POST', 'proposal', { ...wish, on: '2027-02-29' }],
    ['POST', 'proposal', { ...wish, weeks: 41 }],
    ['POST', 'proposal', { ...wish, weeks: 0 }],
    ['PUT', 'draft', { steps }],
    ['PUT', 'draft', { steps: steps.toReversed(), wish: null }],
    ['PUT', 'draft?anyway=', { steps, wish: null }],
    ['PUT', `draft?anyway=${'x'.repeat(301)}`, { steps, wish: null }],
    ['POST', 'cooling', { anyway: ' ' }],
    ['POST', 'cooling', { reason: 'x' }],
    ['POST', 'warming', {}],
    ['POST', 'warming', { why: 'x'.repeat(301) }],
  ] as const)
    expect([path, await refusal(method, `/api/animals/willow/${path}`, body)]).toEqual([
      path,
      [400, 'invalid'],
    ])
  expect((await ask('POST', '/api/animals/willow/proposal', { ...wish, on: '2189-12-31' })).statusCode).toBe(
    200,
  )
  const far = [{ phase: 'hold', from: 253_402_300_799_999 }]
  expect(await refusal('PUT', '/api/animals/willow/draft', { steps: far, wish: null })).toEqual([
    422,
    'pastCap',
  ])
})
