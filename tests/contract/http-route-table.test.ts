import { afterAll, beforeAll, expect, test } from 'vitest'
import type { KnownRoute } from '../../daemon/http/unknown-path.ts'
import { Problem } from '../../schemas/api.ts'
import { type HttpHouse, httpHouse, type Method } from '../support/http-house.ts'

/** What a stranger may ask. */
const open = [
  'GET /api/door',
  'GET /calendar/:file',
  'GET /health',
  'POST /api/answer',
  'POST /api/answer/acknowledge',
  'POST /api/answer/rang',
  'POST /api/answer/shelve',
  'POST /api/answer/tend',
  'POST /api/invitation',
  'POST /api/join',
  'POST /api/set-up',
  'POST /api/sign-in',
]
/** What a sitter may change; every look that is not a keeper's is a sitter's too. */
const changedBySitters = [
  'DELETE /api/diary/:entry',
  'DELETE /api/calendar',
  'DELETE /api/sessions/:id',
  'POST /api/alarms/:alarm/acknowledge',
  'POST /api/calendar',
  'POST /api/me/password',
  'POST /api/me/phone',
  'POST /api/places/:place/tend',
  'POST /api/sign-out',
  'PUT /api/diary/:entry',
  'PUT /api/pictures/:picture',
]
const lookedAtByKeepers = [
  'GET /api/access',
  'GET /api/connection',
  'GET /api/imports',
  'GET /api/devices',
  'GET /api/keeping',
  'GET /api/telling',
]
/** What a token with the scope `act` may change. */
const changedByAct = [
  'DELETE /api/diary/:entry',
  'POST /api/alarms/:alarm/acknowledge',
  'POST /api/places/:place/tend',
  'PUT /api/diary/:entry',
  'PUT /api/pictures/:picture',
]
/** Doors and what is somebody's own: never by a token, whatever its scope. */
const byNoToken = [
  'DELETE /api/calendar',
  'DELETE /api/devices/:device',
  'DELETE /api/invitations/:id',
  'DELETE /api/people/:person',
  'DELETE /api/sessions/:id',
  'DELETE /api/tokens/:id',
  'GET /api/access',
  'GET /api/calendar',
  'GET /api/devices',
  'GET /api/me/sessions',
  'POST /api/calendar',
  'POST /api/invitations',
  'POST /api/me/password',
  'POST /api/sign-out',
  'POST /api/tokens',
  'PUT /api/devices/:device',
  'PUT /api/people/:person/role',
  'PUT /api/shared-login',
]

let house: HttpHouse
let keepers: { readonly session: string; readonly look: string; readonly act: string; readonly keep: string }
let closed: readonly KnownRoute[]
beforeAll(async () => {
  house = await httpHouse()
  keepers = {
    session: await house.signedIn('keeper'),
    look: await house.token('look'),
    act: await house.token('act'),
    keep: await house.token('keep'),
  }
  closed = house.app.knownRoutes.filter(({ isPublic }) => !isPublic)
})
afterAll(() => house.close())

/** A HEAD is a GET without its body. */
const nameOf = ({ method, url }: KnownRoute): string => `${method === 'HEAD' ? 'GET' : method} ${url}`
const looks = (name: string): boolean => name.startsWith('GET ') || reckonsOnly.includes(name)
/** A question too long for an address; nothing is kept of it. */
const reckonsOnly = ['POST /api/animals/:animal/proposal']
/** The body is none that any route takes, and no path names anything that is there: nothing is changed. */
const bodyFor = (method: string) => (['POST', 'PUT'].includes(method) ? {} : undefined)
const pathOf = ({ url }: KnownRoute): string => url.replace(/:\w+/g, 'x')

type Asking = (method: Method, url: string, body: unknown) => ReturnType<HttpHouse['as']>

/** For each closed route whether it let the asker past its door. The stream would not end: it has tests of its own. */
async function whoGetsIn(asking: Asking): Promise<Record<string, string>> {
  const found: Record<string, string> = {}
  for (const route of closed) {
    if (route.url === '/api/live') continue
    const answer = await asking(route.method, pathOf(route), bodyFor(route.method))
    const isOut = answer.statusCode === 401 || answer.statusCode === 403
    const code = !isOut || route.method === 'HEAD' ? '' : ` ${Problem.parse(answer.json()).code}`
    found[`${route.method} ${route.url}`] = isOut ? `${answer.statusCode}${code}` : 'in'
  }
  return found
}

function expected(of: (name: string) => 'in' | 'keeperOnly' | 'tokenMayNot'): Record<string, string> {
  const rows = closed
    .filter(({ url }) => url !== '/api/live')
    .map((route) => {
      const answer = of(nameOf(route))
      const isHead = route.method === 'HEAD'
      return [
        `${route.method} ${route.url}`,
        answer === 'in' ? 'in' : isHead ? '403' : `403 ${answer}`,
      ] as const
    })
  return Object.fromEntries(rows)
}

test('the lists of this test name nothing that is not there', () => {
  const known = new Set(house.app.knownRoutes.map(nameOf))
  for (const name of [...open, ...changedBySitters, ...lookedAtByKeepers, ...changedByAct, ...byNoToken])
    expect([name, known.has(name)]).toEqual([name, true])
})

test('X1: a stranger reaches the sign-in, the health and what holds the secret of a link, and nothing else', async () => {
  const isOpen = house.app.knownRoutes.filter(({ isPublic }) => isPublic)
  expect([...new Set(isOpen.map(nameOf))].sort()).toEqual(open)
  expect(closed.length).toBeGreaterThan(70)
  for (const route of closed) {
    const answer = await house.as('', route.method, pathOf(route), bodyFor(route.method))
    expect([nameOf(route), answer.statusCode]).toEqual([nameOf(route), 401])
    if (route.method !== 'HEAD') expect(Problem.parse(answer.json()).code).toBe('signInNeeded')
  }
})

test('X1: a sitter gets past the doors that are listed here, and past no other', async () => {
  const sitter = await house.signedIn('sitter')
  const found = await whoGetsIn(async (method, url, body) => {
    const answer = await house.as(
      url === '/api/sign-out' ? await house.signedIn('sitter') : sitter,
      method,
      url,
      body,
    )
    return answer
  })
  expect(found).toEqual(
    expected((name) =>
      (looks(name) && !lookedAtByKeepers.includes(name)) || changedBySitters.includes(name)
        ? 'in'
        : 'keeperOnly',
    ),
  )
})

test('X1: a keeper gets past every door', async () => {
  const found = await whoGetsIn(async (method, url, body) =>
    house.as(url === '/api/sign-out' ? await house.signedIn('keeper') : keepers.session, method, url, body),
  )
  expect(found).toEqual(expected(() => 'in'))
})

test('X1: a token that looks sees what a sitter sees, and changes nothing', async () => {
  const found = await whoGetsIn((method, url, body) => house.bearing(keepers.look, method, url, body))
  expect(found).toEqual(
    expected((name) => {
      if (byNoToken.includes(name) || !looks(name)) return 'tokenMayNot'
      return lookedAtByKeepers.includes(name) ? 'keeperOnly' : 'in'
    }),
  )
})

test('X1: a token that acts also acknowledges and tends', async () => {
  const found = await whoGetsIn((method, url, body) => house.bearing(keepers.act, method, url, body))
  expect(found).toEqual(
    expected((name) => {
      if (changedByAct.includes(name)) return 'in'
      if (byNoToken.includes(name) || !looks(name)) return 'tokenMayNot'
      return lookedAtByKeepers.includes(name) ? 'keeperOnly' : 'in'
    }),
  )
})

test('X1: a token that keeps may what a keeper may, but touches no door', async () => {
  const found = await whoGetsIn((method, url, body) => house.bearing(keepers.keep, method, url, body))
  expect(found).toEqual(expected((name) => (byNoToken.includes(name) ? 'tokenMayNot' : 'in')))
})

test('X1: no trick with a path reaches what is behind the door', async () => {
  const look = (url: string, headers: Record<string, string> = {}) => house.app.inject({ url, headers })
  const tricks = [
    '/api/access/',
    '/API/access',
    '/api//access',
    '/api/./access',
    '/api/door/../access',
    '/api/answer/%2e%2e/access',
    '/api/%61ccess',
    '/api/access%00',
    '/api/access;x',
    '/api/access?x=/api/door',
    '/health/../api/access',
  ]
  for (const url of tricks) {
    const [stranger, looking] = [
      await look(url),
      await look(url, { authorization: `Bearer ${keepers.look}` }),
    ]
    expect([url, stranger.statusCode]).toEqual([url, 401])
    expect([url, [403, 404].includes(looking.statusCode)]).toEqual([url, true])
    expect(looking.body).not.toContain('sessions')
  }
  const ids = ['..%2fpeople', 'a%2fb', '%2e%2e', '%00', 'A', 'x'.repeat(41), '__proto__', "'--"]
  for (const id of ids) {
    for (const url of [`/api/contacts/${id}`, `/api/people/${id}`, `/api/contacts/bo/channels/${id}`]) {
      const answer = await house.as(keepers.session, 'DELETE', url)
      expect([url, [400, 404].includes(answer.statusCode)]).toEqual([url, true])
    }
  }
  expect(house.people.people().length).toBe(2)
})
