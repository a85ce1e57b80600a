import { createHash } from 'node:crypto'
import { Agent, request, type RequestOptions } from 'node:http'
import type { AddressInfo } from 'node:net'
import fc from 'fast-check'
import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { StoredSession } from '../../daemon/ports/people.ts'
import { Problem } from '../../schemas/api.ts'
import type { AlarmId } from '../../schemas/ids.ts'
import { type HttpHouse, httpHouse, type Method } from '../support/http-house.ts'

/** Requests in all; about 2 ms each. */
const runs = 6000
/** A network of its own, so that its wrong tries do not slow the sign-in of the test itself. */
const fuzzer = '10.66.66.66'

let house: HttpHouse
let keeper: string
let session: StoredSession | null
beforeAll(async () => {
  house = await httpHouse()
  keeper = await house.signedIn('keeper')
  const token = keeper.split('=')[1] ?? ''
  session = house.people.session(createHash('sha256').update(token).digest('base64url'))
  house.desk.raise('limit:fridge:temperature:lowCritical' as AlarmId)
})
afterAll(() => house.close())

const alarmUrl = '/api/alarms/limit:fridge:temperature:lowCritical'
const cold = { for: 60_000, priority: 'high', source: 'x', evidence: 'derived' }
const ownToad = {
  id: 'own-toad',
  latin: 'Bufo bufo',
  common: 'x',
  taxon: 'frog',
  winter: 'never',
  weak: false,
  active: { temperature: [{ ...cold, limit: 'lowCritical', value: 2 }] },
  own: { from: 'bufo-bufo', reason: 'x' },
}

/** A right request for every route, to be spoilt: what is random alone never gets past the first check. */
const rightRequests: readonly { method: Method; path: string; query?: object; body?: object }[] = [
  { method: 'GET', path: '/health' },
  { method: 'GET', path: '/metrics' },
  { method: 'GET', path: '/api/door' },
  { method: 'GET', path: '/api/me' },
  { method: 'GET', path: '/api/openapi.json' },
  { method: 'POST', path: '/api/set-up', body: { code: 'x', name: 'Ada', password: 'long enough' } },
  { method: 'POST', path: '/api/sign-in', body: { name: 'Ada', password: 'wrong' } },
  { method: 'POST', path: '/api/sign-out', body: {} },
  { method: 'GET', path: '/api/tonight' },
  { method: 'GET', path: '/api/day', query: { days: '14' } },
  { method: 'GET', path: '/api/cultures' },
  { method: 'GET', path: '/api/calendar' },
  { method: 'POST', path: '/api/calendar', body: {} },
  { method: 'DELETE', path: '/api/calendar' },
  { method: 'GET', path: `/calendar/${'a'.repeat(43)}.ics` },
  { method: 'GET', path: '/api/household' },
  { method: 'GET', path: '/api/species' },
  { method: 'PUT', path: '/api/species/own-toad', body: ownToad },
  { method: 'DELETE', path: '/api/species/own-newt' },
  { method: 'GET', path: '/api/connection' },
  { method: 'GET', path: '/api/sources' },
  { method: 'GET', path: '/api/alarms' },
  {
    method: 'GET',
    path: '/api/journal',
    query: {
      before: '9',
      limit: '5',
      alarmsOnly: 'true',
      from: '0',
      place: ['fridge', 'box'],
      kind: ['raised', 'returned'],
    },
  },
  { method: 'GET', path: '/api/practice' },
  { method: 'POST', path: '/api/practice', body: { on: true } },
  {
    method: 'GET',
    path: '/api/sensors/probe-1/series',
    query: { quantity: 'humidity', from: '0', to: '2026-12-24T20:00:00Z', columns: '10' },
  },
  { method: 'GET', path: '/api/places/fridge/night', query: { quantity: 'temperature', date: '2026-12-24' } },
  { method: 'GET', path: '/api/places/fridge/winter', query: { quantity: 'temperature', season: '2026/27' } },
  { method: 'GET', path: '/api/places/fridge/cost', query: { from: '0', to: '2026-12-24T20:00:00Z' } },
  { method: 'GET', path: '/api/places/fridge/lag' },
  { method: 'GET', path: '/api/places/fridge/outlook' },
  { method: 'GET', path: '/api/animals/willow/report', query: { season: '2026/27' } },
  { method: 'GET', path: '/api/animals/willow/report.html', query: { season: '2026/27' } },
  { method: 'GET', path: '/api/season/report', query: { season: '2026/27' } },
  { method: 'GET', path: '/api/season/report.html', query: { season: '2026/27' } },
  {
    method: 'GET',
    path: '/api/places/fridge/nights.csv',
    query: { quantity: 'temperature', season: '2026/27' },
  },
  {
    method: 'GET',
    path: '/api/sensors/probe-1/readings.csv',
    query: { quantity: 'temperature', from: '0', to: '2026-12-24T20:00:00Z' },
  },
  { method: 'GET', path: '/api/journal.csv', query: { from: '0', to: '2026-12-24T20:00:00Z' } },
  { method: 'GET', path: '/api/places/fridge/air', query: { from: '0', to: '2026-12-24T20:00:00Z' } },
  { method: 'POST', path: '/api/places/fridge/tend', body: { minutes: 5 } },
  { method: 'GET', path: '/api/places/fridge/trial', query: { species: 'bufo-bufo' } },
  { method: 'POST', path: '/api/places/fridge/trial', body: { act: 'begin', litres: 6 } },
  { method: 'GET', path: '/api/places/fridge/what-if', query: { season: '2026/27' } },
  {
    method: 'POST',
    path: '/api/what-if',
    body: {
      place: 'fridge',
      over: { season: '2026/27' },
      tried: [{ place: 'fridge', limits: [{ quantity: 'temperature', limit: 'low', value: 3 }] }],
    },
  },
  { method: 'GET', path: '/api/what-if/run-1' },
  { method: 'DELETE', path: '/api/what-if/run-1' },
  { method: 'POST', path: `${alarmUrl}/acknowledge`, body: { occurrence: 1 } },
  { method: 'POST', path: `${alarmUrl}/shelve`, body: { occurrence: 1, minutes: 5, reason: 'x' } },
  { method: 'POST', path: `${alarmUrl}/unshelve`, body: {} },
  { method: 'POST', path: `${alarmUrl}/out-of-service`, body: { reason: 'x' } },
  { method: 'POST', path: `${alarmUrl}/return-to-service`, body: {} },
  {
    method: 'PUT',
    path: '/api/house',
    body: {
      name: 'x',
      timeZone: 'Europe/Vienna',
      night: { from: '20:00', to: '08:00' },
      hemisphere: 'north',
      guidance: 'strict',
    },
  },
  {
    method: 'PUT',
    path: '/api/places/fridge',
    body: {
      id: 'fridge',
      name: 'x',
      kind: 'fridge',
      parent: null,
      timeZone: 'UTC',
      ownLimits: [{ quantity: 'temperature', limit: 'low', value: 3, for: 1000 }],
    },
  },
  {
    method: 'PUT',
    path: '/api/sensors/probe-1',
    body: {
      id: 'probe-1',
      name: 'x',
      place: 'fridge',
      topic: 'a/+/b',
      decoder: { kind: 'json', fields: [{ pointer: '/t', quantity: 'temperature' }], at: '/at' },
    },
  },
  { method: 'POST', path: '/api/sensors/probe-1/check', body: { minutes: 60 } },
  { method: 'GET', path: '/api/sensors/probe-1/raw', query: { quantity: 'humidity', since: '5' } },
  {
    method: 'POST',
    path: '/api/sensors/probe-1/calibrations',
    body: {
      method: 'icePoint',
      quantity: 'temperature',
      references: [{ raw: 0.31, true: 0, uncertainty: 0.07 }],
      note: 'x',
    },
  },
  { method: 'DELETE', path: '/api/sensors/probe-1/calibrations/temperature/5' },
  {
    method: 'PUT',
    path: '/api/animals/willow',
    body: {
      id: 'willow',
      name: 'x',
      species: 'bufo-bufo',
      place: null,
      mode: 'goesDown',
      plan: [{ phase: 'fast', from: 5 }],
    },
    query: { anyway: 'x' },
  },
  { method: 'GET', path: '/api/season' },
  { method: 'GET', path: '/api/animals/willow/standing' },
  { method: 'POST', path: '/api/animals/willow/proposal', body: { by: 'hold', on: '2027-01-24', weeks: 8 } },
  {
    method: 'PUT',
    path: '/api/animals/willow/draft',
    body: {
      steps: [
        { phase: 'hold', from: 1_800_000_000_000 },
        { phase: 'awake', from: 1_802_000_000_000 },
      ],
      wish: { by: 'wake', on: '2027-02-24' },
    },
    query: { anyway: 'x' },
  },
  { method: 'POST', path: '/api/animals/willow/cooling', body: { anyway: 'x' } },
  { method: 'POST', path: '/api/animals/willow/warming', body: { why: 'x' } },
  { method: 'DELETE', path: '/api/places/attic' },
  { method: 'GET', path: '/api/telling' },
  {
    method: 'PUT',
    path: '/api/telling',
    body: { order: ['ada'], telling: { repeatEvery: 60_000, escalateAfter: 60_000, againAfter: 600_000 } },
  },
  {
    method: 'PUT',
    path: '/api/contacts/ada',
    body: { id: 'ada', name: 'x', person: 'ada', units: 'celsius', quiet: { from: '20:00', to: '08:00' } },
  },
  { method: 'DELETE', path: '/api/contacts/bo' },
  {
    method: 'PUT',
    path: '/api/contacts/ada/channels/relay',
    body: {
      channel: { id: 'relay', kind: 'relay', label: 'x', url: 'https://relay.example/x' },
      secret: { kind: 'relay', token: 'x' },
    },
  },
  { method: 'DELETE', path: '/api/contacts/ada/channels/other' },
  { method: 'POST', path: '/api/contacts/ada/channels/relay/ring', body: {} },
  { method: 'POST', path: '/api/contacts/ada/channels/relay/rang', body: {} },
  { method: 'GET', path: '/api/messages', query: { limit: '5' } },
  { method: 'GET', path: '/api/me/phone' },
  {
    method: 'POST',
    path: '/api/me/phone',
    body: { label: 'x', endpoint: 'https://push.example/x', p256dh: 'B'.repeat(87), auth: 'a'.repeat(22) },
  },
  { method: 'POST', path: '/api/answer', body: { token: 'x' } },
  { method: 'POST', path: '/api/answer/acknowledge', body: { token: 'x' } },
  { method: 'POST', path: '/api/answer/tend', body: { token: 'x', minutes: 5 } },
  { method: 'POST', path: '/api/answer/shelve', body: { token: 'x', minutes: 5, reason: 'x' } },
  { method: 'POST', path: '/api/answer/rang', body: { token: 'x' } },
  { method: 'GET', path: '/api/access' },
  { method: 'POST', path: '/api/invitations', body: { name: 'Cleo', role: 'sitter' } },
  { method: 'DELETE', path: '/api/invitations/AAAAAAAAAAAAAAAA' },
  { method: 'POST', path: '/api/invitation', body: { token: 'x' } },
  { method: 'POST', path: '/api/join', body: { token: 'x', password: 'long enough' } },
  { method: 'PUT', path: '/api/people/bo/role', body: { role: 'sitter' } },
  { method: 'DELETE', path: '/api/people/bo' },
  { method: 'GET', path: '/api/me/sessions' },
  { method: 'DELETE', path: '/api/sessions/AAAAAAAAAAAAAAAA' },
  { method: 'POST', path: '/api/me/password', body: { old: 'wrong', password: 'long enough' } },
  { method: 'POST', path: '/api/tokens', body: { name: 'x', scope: 'look', days: 5 } },
  { method: 'DELETE', path: '/api/tokens/AAAAAAAAAAAAAAAA' },
  { method: 'GET', path: '/api/keeping' },
  { method: 'POST', path: '/api/backups', body: {} },
  { method: 'GET', path: '/api/devices' },
  { method: 'PUT', path: '/api/devices/probe', body: { name: 'probe', kind: 'sensor', topics: ['a/+/b'] } },
  { method: 'DELETE', path: '/api/devices/other' },
  { method: 'PUT', path: '/api/shared-login', body: { on: true } },
  { method: 'DELETE', path: '/api/sensors/probe-9' },
  { method: 'DELETE', path: '/api/animals/willow' },
  {
    method: 'GET',
    path: '/api/diary',
    query: {
      place: 'fridge',
      kind: ['looked', 'weighed'],
      from: '0',
      to: '2026-12-24T20:00:00Z',
      limit: '5',
    },
  },
  {
    method: 'PUT',
    path: '/api/diary/an-entry',
    body: { id: 'an-entry', at: 5, place: 'fridge', note: { kind: 'counted', amount: 5 }, text: 'x' },
  },
  { method: 'DELETE', path: '/api/diary/an-entry' },
  { method: 'POST', path: '/api/diary/removals', body: { entries: ['an-entry'] } },
  {
    method: 'POST',
    path: '/api/diary/import',
    query: { trial: 'true' },
    body: { csv: 'date,place,note\n2026-11-01,fridge,x' },
  },
  { method: 'GET', path: '/api/diary.csv' },
  { method: 'GET', path: '/api/imports' },
  // a body that is no table: tests/contract/http-imports.test.ts sends real ones
  { method: 'POST', path: '/api/imports', query: { file: 'winter.csv' }, body: {} },
  {
    method: 'POST',
    path: '/api/imports/t00000000/look',
    body: { zone: 'Europe/Vienna', dayOrder: 'dayFirst', time: [0] },
  },
  {
    method: 'POST',
    path: '/api/imports/t00000000',
    body: {
      zone: 'Europe/Vienna',
      columns: [
        { column: 1, quantity: 'temperature', unit: 'celsius', to: { kind: 'known', sensor: 'probe-1' } },
      ],
    },
  },
  { method: 'DELETE', path: '/api/imports/t00000000' },
  { method: 'GET', path: '/api/pictures/a-picture' },
  // a body that is no picture: tests/contract/pictures.test.ts sends real ones
  { method: 'PUT', path: '/api/pictures/a-picture', body: {} },
]

/** Text that has upset parsers before. */
const nastyText = fc.constantFrom(
  '',
  '\u0000',
  '\ud800',
  '..',
  '%',
  '__proto__',
  'constructor',
  'toString',
  '-0',
  '1e999',
  '9'.repeat(400),
  'x'.repeat(10_000),
  '𒀀'.repeat(50),
)
const anyText = fc.oneof(nastyText, fc.string({ unit: 'binary', maxLength: 30 }))
const anyValue = fc.oneof(
  anyText,
  fc.jsonValue({ maxDepth: 3 }),
  fc.constantFrom<unknown>(0, -1, 1e308, 2 ** 53, 0.1, null, true, [], {}),
)
/** Spoils one thing in four. */
const spoilt = <Value>(right: Value, wrong: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> =>
  fc.oneof({ weight: 3, arbitrary: fc.constant<unknown>(right) }, { weight: 1, arbitrary: wrong })

function spoiltBody(right: unknown): fc.Arbitrary<unknown> {
  if (Array.isArray(right)) return spoilt(right, fc.array(spoiltBody(right[0]), { maxLength: 5 }))
  if (typeof right !== 'object' || right === null) return spoilt(right, anyValue)
  const fields = Object.fromEntries(Object.entries(right).map(([key, value]) => [key, spoiltBody(value)]))
  return fc
    .tuple(
      fc.record(fields, { requiredKeys: [] }),
      spoilt({}, fc.dictionary(anyText, anyValue, { maxKeys: 2 })),
    )
    .chain(([some, more]) => spoilt({ ...right, ...some, ...(more as object) }, anyValue))
}

const spoiltPath = (path: string) =>
  fc
    .tuple(...path.split('/').map((part, i) => (i < 3 ? fc.constant<unknown>(part) : spoilt(part, anyText))))
    .map((parts) => parts.map((part) => encodeURIComponent(wellFormed(String(part)))).join('/'))

const spoiltQuery = (right: object) =>
  fc
    .tuple(
      ...Object.entries(right).map(([key, value]) =>
        spoilt(value, anyText).map((text) => [key, String(text)]),
      ),
      ...[spoilt(null, fc.tuple(anyText, anyText))],
    )
    .map((pairs) => new URLSearchParams(pairs.filter((pair) => pair !== null) as string[][]).toString())

/** encodeURIComponent throws on half a surrogate pair, as would a browser's address bar. */
const wellFormed = (text: string): string => text.replace(/[\ud800-\udfff]/g, '\ufffd')

interface Spoilt {
  readonly method: Method
  readonly url: string
  readonly payload: string | undefined
  readonly type: string
}

const spoiltRequest: fc.Arbitrary<Spoilt> = fc
  .constantFrom(...rightRequests)
  .chain(({ method, path, query, body }) =>
    fc.record({
      method: spoilt(
        method,
        fc.constantFrom('GET', 'PUT', 'POST', 'DELETE', 'PATCH', 'OPTIONS', 'HEAD'),
      ) as fc.Arbitrary<Method>,
      url: fc.tuple(spoiltPath(path), spoiltQuery(query ?? {})).map(([where, what]) => `${where}?${what}`),
      payload:
        body === undefined
          ? fc.constant(undefined)
          : fc.oneof(
              { weight: 9, arbitrary: spoiltBody(body).map((value) => JSON.stringify(value)) },
              { weight: 1, arbitrary: fc.oneof(anyText, fc.json(), fc.constant(`{"a":${'['.repeat(5000)}`)) },
            ),
      type: spoilt(
        'application/json',
        fc.constantFrom('text/plain', 'application/json;', 'application/xml', 'image/png', ''),
      ) as fc.Arbitrary<string>,
    }),
  )

async function ask({ method, url, payload, type }: Spoilt): Promise<LightMyRequestResponse> {
  const answer = await house.app.inject({
    method,
    url,
    remoteAddress: fuzzer,
    headers: { cookie: keeper, ...(payload !== undefined && { 'content-type': type }) },
    ...(payload !== undefined && { payload }),
  })
  const isSignedOut = answer.statusCode === 204 && url.startsWith('/api/sign-out')
  if (isSignedOut && session !== null) house.people.saveSession(session) // quicker than signing in again
  return answer
}

type Answer = Pick<LightMyRequestResponse, 'statusCode' | 'headers' | 'body'>

function isSound(answer: Answer, method: string): void {
  expect(answer.statusCode).toBeLessThan(500)
  if (answer.statusCode < 300 || method === 'HEAD') return
  expect(answer.statusCode).toBeGreaterThanOrEqual(400)
  expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/)
  const problem = Problem.parse(JSON.parse(answer.body))
  expect(problem.status).toBe(answer.statusCode)
  expect(answer.body.length).toBeLessThan(50_000)
}

test('every route but the stream has a right request to spoil', async () => {
  const known = house.app.knownRoutes.filter(({ method, url }) => method !== 'HEAD' && url !== '/api/live')
  const patterns = known.map(({ method, url }) => new RegExp(`^${method} ${url.replace(/:\w+/g, '[^/]+')}$`))
  for (const pattern of patterns)
    expect(rightRequests.filter(({ method, path }) => pattern.test(`${method} ${path}`)).length).toBe(1)
  expect(rightRequests.length).toBe(known.length)
})

test(`X3: ${runs} spoilt requests by a keeper bring no failure, and every refusal is a problem`, async () => {
  const statuses = new Map<number, number>()
  const succeeded = new Set<string>()
  await fc.assert(
    fc.asyncProperty(spoiltRequest, async (one) => {
      const answer = await ask(one)
      statuses.set(answer.statusCode, (statuses.get(answer.statusCode) ?? 0) + 1)
      if (answer.statusCode < 300) succeeded.add(`${one.method} ${one.url.split('?')[0] ?? ''}`)
      isSound(answer, one.method)
    }),
    { numRuns: runs },
  )
  // The fuzz is worth nothing when all of it fails at the first check
  expect(succeeded.size).toBeGreaterThan(40)
  expect([...statuses.keys()]).toEqual(expect.arrayContaining([200, 400, 404, 405, 409, 415]))
  expect(house.log.lines.filter((line) => line.startsWith('error'))).toEqual([])
}, 180_000)

test('X3: two thousand random paths bring no failure, signed in or not', async () => {
  const anyPath = fc.oneof(
    fc.webPath().map((path) => path || '/'),
    fc.string({ unit: 'binary-ascii', maxLength: 60 }).map((text) => `/${text.replace(/[^!-~]/g, '')}`),
    fc
      .array(
        fc.constantFrom(
          '/',
          '..',
          '.',
          '%2f',
          '%00',
          '%',
          'api',
          'tonight',
          '//',
          ';',
          '?',
          '#',
          '%ff',
          '\\',
        ),
        { maxLength: 8 },
      )
      .map((parts) => `/${parts.join('')}`),
  )
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  const { port } = house.app.server.address() as AddressInfo
  const agent = new Agent({ keepAlive: true })
  await fc.assert(
    fc.asyncProperty(
      anyPath,
      fc.constantFrom('GET', 'POST', 'DELETE'),
      fc.boolean(),
      async (path, method, isIn) => {
        const answer = await askRaw({ port, agent, path, method, headers: isIn ? { cookie: keeper } : {} })
        isSound(answer, method)
        if (!isIn && answer.statusCode < 300) expect(path).toMatch(/^\/(?:health|api\/door)/)
      },
    ),
    { numRuns: 2000 },
  )
  agent.destroy()
}, 60_000)

/** Sends the path as it is: fetch and inject would tidy it first. */
function askRaw(options: RequestOptions): Promise<Answer> {
  return new Promise((resolve, reject) => {
    request({ ...options, host: '127.0.0.1' }, (response) => {
      const chunks: Buffer[] = []
      response.on('data', (chunk: Buffer) => chunks.push(chunk))
      response.on('error', reject)
      response.on('end', () =>
        resolve({
          statusCode: response.statusCode ?? 0,
          headers: response.headers,
          body: Buffer.concat(chunks).toString('utf8'),
        }),
      )
    })
      .on('error', reject)
      .end()
  })
}
