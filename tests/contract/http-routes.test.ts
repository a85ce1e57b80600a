import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { notStored } from '../../daemon/app/not-stored.ts'
import { Health, Practice } from '../../schemas/acts.ts'
import { Alarm } from '../../schemas/alarm.ts'
import {
  AlarmsNow,
  Connection,
  JournalLine,
  NightCurve,
  PlaceNow,
  Problem,
  Series,
  Tonight,
  Winter,
} from '../../schemas/api.ts'
import { PlaceCost } from '../../schemas/cost.ts'
import { Household } from '../../schemas/household.ts'
import type { AlarmId, SensorId } from '../../schemas/ids.ts'
import { Source } from '../../schemas/source.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { instant, minutes } from '../../schemas/amounts.ts'
import { eachInAHouse, type Method } from '../support/http-house.ts'

const cold = 'limit:fridge:temperature:lowCritical' as AlarmId

const house = eachInAHouse('keeper')

const ask = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
/** The body of a right answer, checked. */
async function get<Schema extends z.ZodType>(url: string, schema: Schema): Promise<z.output<Schema>> {
  const answer = await ask('GET', url)
  expect([url, answer.statusCode, answer.headers['content-type']]).toEqual([
    url,
    200,
    'application/json; charset=utf-8',
  ])
  return schema.parse(answer.json())
}
/** Status and code of a refusal. */
async function refusal(method: Method, url: string, body?: unknown): Promise<readonly [number, string]> {
  const answer = await ask(method, url, body)
  const problem = Problem.parse(answer.json())
  expect(problem.detail).not.toBe('')
  return [answer.statusCode, problem.code]
}

test('everything that can be looked at fits its schema', async () => {
  house.desk.raise(cold)
  expect((await get('/api/tonight', Tonight)).sentence).toBe('The cellar fridge is too cold.')
  expect((await get('/api/household', Household)).places.length).toBe(1)
  expect((await get('/api/species', z.array(SpeciesProfile))).length).toBe(1)
  expect((await get('/api/connection', Connection)).port).toBe(1883)
  expect((await get('/api/sources', z.array(Source))).length).toBe(1)
  expect((await get('/api/alarms', AlarmsNow)).standing.length).toBe(1)
  expect((await get('/api/journal', z.array(JournalLine))).length).toBe(2)
  expect(await get('/api/practice', Practice)).toEqual({ running: false, offered: true })
  expect((await get('/api/places/fridge/night', NightCurve)).night.date).toBe('2026-12-24')
  expect((await get('/api/places/fridge/winter', Winter)).season).toBe('2026/27')
  expect((await get('/api/places/fridge/cost?from=0&to=3600000', PlaceCost)).unknown).toBe(0)
})

test('N1: /health answers anyone, names broker and store and holds no secret', async () => {
  const answer = await house.as('', 'GET', '/health')
  expect([answer.statusCode, Health.parse(answer.json())]).toEqual([
    200,
    { status: 'ok', broker: 'up', store: 'ok' },
  ])
})

describe('series', () => {
  const from = '2026-12-24T20:00:00Z'
  const to = '2026-12-25T08:00:00+00:00'

  test('instants are Unix milliseconds or ISO 8601 with a zone, and mean the same', async () => {
    const at = instant(Date.parse('2026-12-24T20:30:00Z'))
    house.desk.hear({
      sensor: 'probe-1' as SensorId,
      sensorName: 'Probe one',
      quantity: 'temperature',
      value: 4.5,
      at,
      quality: 'good',
      fresh: true,
      lastKnown: false,
    })
    const url = (a: string | number, b: string | number) =>
      `/api/sensors/probe-1/series?from=${encodeURIComponent(a)}&to=${encodeURIComponent(b)}`
    const iso = await get(url(from, to), Series)
    expect(iso.columns).toEqual({ at: [at], low: [4.5], mean: [4.5], high: [4.5] })
    expect(await get(url(Date.parse(from), Date.parse(to)), Series)).toEqual(iso)
    expect((await get(url('2026-12-24T21:30:00.000+01:00', to), Series)).columns.at).toEqual([at])
    expect((await get(url(at + 1, to), Series)).columns.at).toEqual([])
    expect((await get(`${url(from, to)}&quantity=humidity`, Series)).columns.at).toEqual([])
  })

  test('what is no instant is refused', async () => {
    const wrong = [
      '',
      'now',
      '2026-12-24',
      '2026-12-24T20:00:00',
      '2026-02-30T20:00:00Z',
      '1e3',
      '-5',
      '99999999999999999',
    ]
    for (const bad of wrong) {
      const url = `/api/sensors/probe-1/series?from=${encodeURIComponent(bad)}&to=${encodeURIComponent(to)}`
      expect([bad, await refusal('GET', url)]).toEqual([bad, [400, 'invalid']])
    }
  })

  test('X3: from 2 to 5000 columns, both included', async () => {
    const url = (columns: string) => `/api/sensors/probe-1/series?from=0&to=5&columns=${columns}`
    for (const right of ['2', '5000']) expect((await ask('GET', url(right))).statusCode).toBe(200)
    for (const wrong of ['1', '5001', '', '2.5', '0x10', '-2'])
      expect([wrong, await refusal('GET', url(wrong))]).toEqual([wrong, [400, 'invalid']])
  })

  test('an unknown sensor, place, night or season is told apart from a bad question', async () => {
    expect(await refusal('GET', '/api/sensors/other/series?from=0&to=5')).toEqual([404, 'noSuchSensor'])
    expect(await refusal('GET', '/api/sensors/probe-1/series?from=5&to=5')).toEqual([422, 'badStretch'])
    expect(await refusal('GET', '/api/sensors/probe-1/series?from=0')).toEqual([400, 'invalid'])
    expect(await refusal('GET', '/api/sensors/probe-1/series?from=0&to=5&quantity=noise')).toEqual([
      400,
      'invalid',
    ])
    expect(await refusal('GET', '/api/places/attic/night')).toEqual([404, 'noSuchPlace'])
    expect(await refusal('GET', '/api/places/fridge/night?date=2027-01-01')).toEqual([422, 'badDate'])
    expect(await refusal('GET', '/api/places/fridge/night?date=2026-02-30')).toEqual([400, 'invalid'])
    expect(await refusal('GET', '/api/places/attic/winter')).toEqual([404, 'noSuchPlace'])
    expect(await refusal('GET', '/api/places/attic/cost?from=0&to=1')).toEqual([404, 'noSuchPlace'])
    expect(await refusal('GET', '/api/places/fridge/cost?from=1&to=1')).toEqual([422, 'badStretch'])
    expect(await refusal('GET', '/api/places/fridge/cost?from=1')).toEqual([400, 'invalid'])
    expect(await refusal('GET', '/api/places/fridge/winter?season=1999/00')).toEqual([422, 'badSeason'])
    expect(await refusal('GET', '/api/places/fridge/winter?season=lately')).toEqual([400, 'invalid'])
    expect(await refusal('GET', '/api/tonight?night=1')).toEqual([400, 'invalid'])
  })
})

describe('alarms', () => {
  const act = (what: string, body: unknown = {}) => ask('POST', `/api/alarms/${cold}/${what}`, body)
  const stateAfter = async (what: string, body?: unknown) => Alarm.parse((await act(what, body)).json()).state

  test("A1: an acknowledgement carries the person's name and answers this raising only", async () => {
    house.desk.raise(cold)
    house.desk.raise(cold)
    expect(await refusal('POST', `/api/alarms/${cold}/acknowledge`, { occurrence: 1 })).toEqual([
      409,
      'earlierOccurrence',
    ])
    expect(await stateAfter('acknowledge', { occurrence: 2 })).toMatchObject({
      name: 'acknowledged',
      by: 'Ada',
    })
    expect(await stateAfter('acknowledge', { occurrence: 2 })).toMatchObject({
      name: 'acknowledged',
      by: 'Ada',
    })
    expect(house.desk.journalled.filter(({ kind }) => kind === 'acknowledged').length).toBe(1)
  })

  test('A2: shelving needs a reason and an end, and guards against a later raising', async () => {
    house.desk.raise(cold)
    const until = house.clock.now() + minutes(45)
    expect(await stateAfter('shelve', { minutes: 45, reason: '  defrosting ', occurrence: 1 })).toMatchObject(
      {
        name: 'shelved',
        by: 'Ada',
        reason: 'defrosting',
        until,
      },
    )
    const shelve = (body: unknown) => refusal('POST', `/api/alarms/${cold}/shelve`, body)
    expect(await shelve({ minutes: 45, reason: '  ' })).toEqual([400, 'invalid'])
    expect(await shelve({ minutes: 0, reason: 'x' })).toEqual([400, 'invalid'])
    expect(await shelve({ reason: 'x' })).toEqual([400, 'invalid'])
    expect(await shelve({ minutes: 61, reason: 'x' })).toEqual([422, 'tooLong'])
    house.desk.raise(cold)
    expect(await shelve({ minutes: 5, reason: 'x', occurrence: 1 })).toEqual([409, 'earlierOccurrence'])
    expect((await act('shelve', { minutes: 5, reason: 'x' })).statusCode).toBe(200)
  })

  test('A1: unshelve, out of service and back each act once and refuse when it is not their turn', async () => {
    house.desk.raise(cold)
    await act('shelve', { minutes: 5, reason: 'x' })
    expect(await stateAfter('unshelve')).toMatchObject({ name: 'unacknowledged' })
    expect(await refusal('POST', `/api/alarms/${cold}/unshelve`, {})).toEqual([409, 'notNow'])
    expect(await stateAfter('out-of-service', { reason: 'probe broken' })).toMatchObject({
      name: 'outOfService',
      by: 'Ada',
      reason: 'probe broken',
    })
    expect(await stateAfter('return-to-service')).toMatchObject({ name: 'unacknowledged' })
    expect(await refusal('POST', `/api/alarms/${cold}/return-to-service`, {})).toEqual([409, 'notNow'])
  })

  test('an alarm that is not there is 404 for every act, a name that is no alarm id is 400', async () => {
    for (const what of ['acknowledge', 'shelve', 'unshelve', 'out-of-service', 'return-to-service']) {
      const body = { acknowledge: { occurrence: 1 }, shelve: { minutes: 5, reason: 'x' } }[what] ?? {}
      const full = what === 'out-of-service' ? { reason: 'x' } : body
      expect([what, await refusal('POST', `/api/alarms/silent:probe-9/${what}`, full)]).toEqual([
        what,
        [404, 'noSuchAlarm'],
      ])
      expect(await refusal('POST', `/api/alarms/nonsense/${what}`, full)).toEqual([400, 'invalid'])
    }
  })

  test('the longest alarm id there can be fits into a path', async () => {
    const longest = `limit:${'x'.repeat(154)}` as AlarmId
    house.desk.raise(longest)
    const answer = await ask('POST', `/api/alarms/${encodeURIComponent(longest)}/acknowledge`, {
      occurrence: 1,
    })
    expect(answer.statusCode).toBe(200)
  })
})

describe('A3: tending', () => {
  test('begins, is bounded, and ends with zero minutes', async () => {
    const tend = (count: number) => ask('POST', '/api/places/fridge/tend', { minutes: count })
    expect(PlaceNow.parse((await tend(30)).json()).tendedUntil).toBe(house.clock.now() + minutes(30))
    expect(await refusal('POST', '/api/places/fridge/tend', { minutes: 31 })).toEqual([422, 'tooLong'])
    expect(PlaceNow.parse((await tend(0)).json()).tendedUntil).toBeNull()
    expect(await refusal('POST', '/api/places/attic/tend', { minutes: 5 })).toEqual([404, 'noSuchPlace'])
    expect(house.desk.journalled.map(({ kind, by }) => `${kind} ${by}`)).toContain('tended Ada')
  })
})

describe('setting up', () => {
  const place = (id: string, more: object = {}) => ({
    id,
    name: 'Shelf',
    kind: 'box',
    parent: 'fridge',
    ...more,
  })
  const sensor = (id: string, more: object = {}) => ({
    id,
    name: 'Probe',
    place: 'fridge',
    topic: 'a/b',
    ...more,
  })
  const animal = (id: string, more: object = {}) => ({
    id,
    name: 'Willow',
    species: 'bufo-bufo',
    place: 'fridge',
    mode: 'goesDown',
    ...more,
  })

  test('what is put is there, defaults filled in; what is deleted is gone', async () => {
    expect((await ask('PUT', '/api/places/box-1', place('box-1'))).json()).toEqual(
      place('box-1', { ownLimits: [] }),
    )
    expect((await ask('PUT', '/api/sensors/probe-2', sensor('probe-2'))).json()).toMatchObject({
      spot: 'air',
      decoder: { kind: 'auto' },
      expectedEvery: 60_000,
    })
    expect((await ask('PUT', '/api/animals/willow', animal('willow'))).json()).toEqual(
      animal('willow', { plan: [], draft: [] }),
    )
    const full = await get('/api/household', Household)
    expect(full.places.map(({ id }) => id)).toEqual(['fridge', 'box-1'])
    expect(full.sensors.map(({ id }) => id)).toEqual(['probe-1', 'probe-2'])
    expect(full.animals.map(({ id }) => id)).toEqual(['willow'])
    for (const url of ['/api/places/box-1', '/api/sensors/probe-2', '/api/animals/willow']) {
      const gone = await ask('DELETE', url)
      expect([gone.statusCode, gone.body]).toEqual([204, ''])
    }
    const rest = await get('/api/household', Household)
    expect([rest.places.length, rest.sensors.length, rest.animals.length]).toEqual([1, 1, 0])
  })

  test('a body under another id than its path is refused before anything is changed', async () => {
    expect(await refusal('PUT', '/api/places/a', place('b'))).toEqual([400, 'idDiffers'])
    expect(await refusal('PUT', '/api/sensors/a', sensor('b'))).toEqual([400, 'idDiffers'])
    expect(await refusal('PUT', '/api/animals/a', animal('b'))).toEqual([400, 'idDiffers'])
    expect((await get('/api/household', Household)).places.length).toBe(1)
  })

  test('what the desk refuses has a status that says whose mistake it is', async () => {
    expect(await refusal('PUT', '/api/places/a', place('a', { parent: 'attic' }))).toEqual([
      422,
      'noSuchParent',
    ])
    expect(await refusal('PUT', '/api/places/fridge', place('fridge'))).toEqual([422, 'loop'])
    expect(await refusal('PUT', '/api/sensors/a', sensor('a', { place: 'attic' }))).toEqual([
      422,
      'noSuchPlace',
    ])
    expect(await refusal('PUT', '/api/animals/a', animal('a', { species: 'dodo' }))).toEqual([
      422,
      'noSuchSpecies',
    ])
    expect(await refusal('DELETE', '/api/places/attic')).toEqual([404, 'noSuchPlace'])
    expect(await refusal('DELETE', '/api/places/fridge')).toEqual([409, 'inUse'])
  })

  test('N2: a change that cannot be stored is our failure and not the asker’s', async () => {
    house.desk.savePlace = () => notStored
    house.desk.removePlace = () => notStored
    expect(await refusal('PUT', '/api/places/a', place('a'))).toEqual([503, 'notStored'])
    expect(await refusal('DELETE', '/api/places/fridge')).toEqual([503, 'notStored'])
  })

  test("the household's own settings are changed whole", async () => {
    const settings = {
      name: 'Over the stairs',
      timeZone: 'Pacific/Auckland',
      night: { from: '21:00', to: '07:00' },
      hemisphere: 'south',
      guidance: 'lenient',
    }
    expect((await ask('PUT', '/api/house', settings)).json()).toEqual(settings)
    expect(await get('/api/household', Household)).toMatchObject(settings)
    expect(await refusal('PUT', '/api/house', { ...settings, timeZone: 'Mars/Olympus' })).toEqual([
      400,
      'invalid',
    ])
    expect(await refusal('PUT', '/api/house', { name: 'x' })).toEqual([400, 'invalid'])
  })

  test('S1: the reason for sending an animal down though something is missing comes with it, from 1 to 300 signs', async () => {
    const put = (query: string) => ask('PUT', `/api/animals/willow${query}`, animal('willow'))
    const reason = encodeURIComponent(' the probe is new ')
    expect((await put(`?anyway=${reason}`)).statusCode).toBe(200)
    expect(house.desk.journalled.at(-1)?.text).toBe('Willow, though untested: the probe is new')
    expect((await put('')).statusCode).toBe(200)
    expect(house.desk.journalled.at(-1)?.text).toBe('Willow')
    expect((await put(`?anyway=${'x'.repeat(300)}`)).statusCode).toBe(200)
    for (const wrong of ['?anyway=', '?anyway=%20', `?anyway=${'x'.repeat(301)}`, '?anyhow=x'])
      expect([wrong, await refusal('PUT', `/api/animals/willow${wrong}`, animal('willow'))]).toEqual([
        wrong,
        [400, 'invalid'],
      ])
  })

  test('practice is switched, and refused where animals live', async () => {
    const on = await ask('POST', '/api/practice', { on: true })
    expect([on.statusCode, on.json()]).toEqual([202, { running: true, offered: true }])
    await ask('POST', '/api/practice', { on: false })
    await ask('PUT', '/api/animals/willow', animal('willow'))
    expect(await refusal('POST', '/api/practice', { on: true })).toEqual([409, 'notOffered'])
  })
})

test('the journal is read in pages, newest first', async () => {
  house.desk.raise(cold)
  for (let i = 0; i < 5; i++) await ask('POST', '/api/places/fridge/tend', { minutes: 5 })
  const ids = async (query: string) =>
    (await get(`/api/journal?${query}`, z.array(JournalLine))).map(({ id }) => id)
  expect(await ids('limit=3')).toEqual([7, 6, 5])
  expect(await ids('limit=3&before=5')).toEqual([4, 3, 2])
  expect(await ids('alarmsOnly=true')).toEqual([2])
  expect((await ids('alarmsOnly=false&limit=500')).length).toBe(7)
  for (const wrong of ['limit=0', 'limit=501', 'before=x', 'alarmsOnly=yes', 'page=2', 'limit=1&limit=2'])
    expect([wrong, await refusal('GET', `/api/journal?${wrong}`)]).toEqual([wrong, [400, 'invalid']])
})

test('the API document says by what each route is opened: a session, a token, or nothing', async () => {
  const document = z
    .looseObject({
      paths: z.record(
        z.string(),
        z.record(
          z.string(),
          z.looseObject({ security: z.array(z.record(z.string(), z.unknown())).optional() }),
        ),
      ),
      security: z.array(z.record(z.string(), z.unknown())),
      components: z.looseObject({
        securitySchemes: z.record(z.string(), z.looseObject({ type: z.string() })),
      }),
    })
    .parse((await ask('GET', '/api/openapi.json')).json())
  expect(document.security).toEqual([{ session: [] }, { token: [] }])
  expect(document.components.securitySchemes).toMatchObject({
    session: { type: 'apiKey' },
    token: { type: 'http', scheme: 'bearer' },
  })
  const openedBy = (path: string, method: string) => document.paths[path]?.[method]?.security
  expect(openedBy('/api/answer', 'post')).toEqual([])
  expect(openedBy('/api/access', 'get')).toEqual([{ session: [] }])
  expect(openedBy('/api/tonight', 'get')).toBeUndefined()
})

test('the API document names every route, the session and the problems', async () => {
  const answer = await ask('GET', '/api/openapi.json')
  expect(answer.statusCode).toBe(200)
  const document = z
    .looseObject({
      openapi: z.literal('3.1.0'),
      info: z.looseObject({ title: z.literal('Brumal') }),
      paths: z.record(
        z.string(),
        z.record(z.string(), z.looseObject({ responses: z.record(z.string(), z.unknown()) })),
      ),
      components: z.looseObject({ schemas: z.record(z.string(), z.unknown()) }),
    })
    .parse(answer.json())
  const described = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
  )
  const known = house.app.knownRoutes
    .filter(({ method, url }) => method !== 'HEAD' && url !== '/api/openapi.json')
    .map(({ method, url }) => `${method} ${url.replace(/:(\w+)/g, '{$1}')}`)
  expect(described.sort()).toEqual(known.sort())
  for (const methods of Object.values(document.paths)) {
    for (const { responses } of Object.values(methods)) {
      expect(JSON.stringify(responses['4XX'])).toContain('application/problem+json')
    }
  }
  expect(Object.keys(document.components.schemas)).toEqual(
    expect.arrayContaining(['Problem', 'Tonight', 'Place']),
  )
  const refs = [...answer.body.matchAll(/"\$ref":"#\/components\/schemas\/(\w+)"/g)].map(
    ([, name]) => name ?? '',
  )
  expect(refs.length).toBeGreaterThan(10)
  for (const name of new Set(refs)) expect(Object.keys(document.components.schemas)).toContain(name)
})
