import { randomBytes, scryptSync } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify'
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest'
import { buildServer, type ServerOptions } from '../../daemon/http/server.ts'
import type { Log } from '../../daemon/ports/log.ts'
import type { PeopleStore } from '../../daemon/ports/people.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { MadeToken, type TokenScope } from '../../schemas/access.ts'
import type { PersonId } from '../../schemas/ids.ts'
import type { Role } from '../../schemas/person.ts'
import { instant, later, millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { type DeskForHttp, deskForHttp } from './desk-for-http.ts'
import { type DevicesForHttp, devicesForHttp } from './devices-for-http.ts'

/** A server over a real database and a desk in memory, with a clock that stands still until it is moved. */
export interface HttpHouse {
  readonly app: FastifyInstance
  readonly desk: DeskForHttp
  readonly people: PeopleStore
  readonly devices: DevicesForHttp
  readonly log: { readonly lines: string[] }
  readonly clock: { now(): Instant; uptime(): Millis; move(ms: number): void }
  readonly setUpCode: string | null
  /** Signs in and gives the cookie. */
  signedIn(role: Role): Promise<string>
  /** Asks as that person; a body goes as JSON. */
  as(cookie: string, method: Method, url: string, body?: unknown): Promise<LightMyRequestResponse>
  /** The secret of a new access token of the keeper's. */
  token(scope: TokenScope, days?: number | null): Promise<string>
  /** Asks with an access token. */
  bearing(secret: string, method: Method, url: string, body?: unknown): Promise<LightMyRequestResponse>
  close(): Promise<void>
}

export type Method = NonNullable<InjectOptions['method']>

export const password = { keeper: 'toads in the cellar', sitter: 'watering the newts' } as const

/**
 * Cheap to check: the cost stands in the hash, and at the daemon's own each sign-in of some hundred tests would take
 * 0.2 s of a core. What the daemon itself hashes is as dear as ever.
 */
function cheapHash(secret: string): string {
  const salt = randomBytes(16)
  const unpadded = (bytes: Buffer): string => bytes.toString('base64').replace(/=+$/, '')
  return `$scrypt$ln=6,r=8,p=1$${unpadded(salt)}$${unpadded(scryptSync(secret, salt, 32, { N: 64, r: 8, p: 1 }))}`
}

export async function httpHouse(
  options: Partial<Pick<ServerOptions, 'webRoot' | 'trustProxy' | 'pingEvery' | 'tls'>> & {
    people?: 'none'
    /** What the server is given in place of the store of people. */
    around?: (people: PeopleStore) => PeopleStore
  } = {},
): Promise<HttpHouse> {
  const folder = await mkdtemp(join(tmpdir(), 'brumal-http-'))
  const removeFolder = () => rm(folder, { recursive: true, force: true })
  const db = openDatabase(folder)
  const people = sqlitePeople(db)
  let now = instant(Date.parse('2026-12-24T21:00:00Z'))
  let up = 0
  const clock = {
    now: () => now,
    uptime: () => millis(up),
    move(ms: number) {
      now = later(now, ms)
      up += ms
    },
  }
  const log = logLines()
  const desk = deskForHttp(clock.now, (id) => people.people().some((person) => person.id === id))
  const devices = devicesForHttp(clock.now)
  if (options.people !== 'none') {
    for (const [id, role] of [
      ['ada', 'keeper'],
      ['bo', 'sitter'],
    ] as const) {
      const passwordHash = cheapHash(password[role])
      people.savePerson({ id: id as PersonId, name: id === 'ada' ? 'Ada' : 'Bo', role, passwordHash })
    }
  }
  let setUpCode: string | null = null
  const app = await buildServer({
    desk,
    people: options.around?.(people) ?? people,
    devices,
    address: () => 'https://brumal.home.example',
    clock,
    log,
    random: randomBytes,
    webRoot: options.webRoot ?? null,
    onSetupCode: (code) => {
      setUpCode = code
    },
    ...(options.trustProxy !== undefined && { trustProxy: options.trustProxy }),
    ...(options.pingEvery !== undefined && { pingEvery: options.pingEvery }),
    ...(options.tls !== undefined && { tls: options.tls }),
  }).catch(async (error: unknown) => {
    db.close()
    await removeFolder()
    throw error
  })
  const ask = (headers: Record<string, string>, method: Method, url: string, body?: unknown) =>
    app.inject({
      method,
      url,
      headers: { ...headers, ...(body !== undefined && { 'content-type': 'application/json' }) },
      ...(body !== undefined && { payload: JSON.stringify(body) }),
    })
  const as: HttpHouse['as'] = (cookie, method, url, body) => ask({ cookie }, method, url, body)
  const signedIn: HttpHouse['signedIn'] = async (role) => {
    const name = role === 'keeper' ? 'Ada' : 'Bo'
    const answer = await as('', 'POST', '/api/sign-in', { name, password: password[role] })
    return cookieOf(answer.headers['set-cookie'])
  }

  return {
    app,
    desk,
    people,
    devices,
    log,
    clock,
    setUpCode,
    as,
    signedIn,
    bearing: (secret, method, url, body) => ask({ authorization: `Bearer ${secret}` }, method, url, body),
    async token(scope, days = null) {
      const keeper = await signedIn('keeper')
      const made = await as(keeper, 'POST', '/api/tokens', { name: `${scope} script`, scope, days })
      return MadeToken.parse(made.json()).secret
    },
    async close() {
      await app.close()
      db.close()
      await removeFolder()
    },
  }
}

/** A house with the cookies of who is signed in there. */
type LivedIn<Who extends Role> = HttpHouse & Readonly<Record<Who, string>>

/** A new house for each test. What is given is the house of the running test: read it there. */
export const eachInAHouse = <Who extends Role>(...who: Who[]): LivedIn<Who> =>
  inAHouse(who, beforeEach, afterEach)

/** One house for all tests of the file or group. */
export const allInAHouse = <Who extends Role>(...who: Who[]): LivedIn<Who> =>
  inAHouse(who, beforeAll, afterAll)

function inAHouse<Who extends Role>(
  who: readonly Who[],
  before: typeof beforeEach | typeof beforeAll,
  after: typeof afterEach | typeof afterAll,
): LivedIn<Who> {
  const house = {} as LivedIn<Who>
  before(async () => {
    Object.assign(house, await httpHouse())
    for (const role of who) Object.assign(house, { [role]: await house.signedIn(role) })
  })
  after(() => house.close())
  return house
}

/** `name=value` of the first cookie in a `Set-Cookie` header. */
export function cookieOf(header: string | string[] | undefined): string {
  const [cookie = ''] = [header ?? ''].flat()
  return cookie.split(';', 1)[0] ?? ''
}

function logLines(): Log & { readonly lines: string[] } {
  const lines: string[] = []
  const keep = (level: string) => (about: object, sentence: string) => {
    const told = JSON.stringify(about, (_key, value: unknown) =>
      value instanceof Error ? { message: value.message, stack: value.stack, cause: value.cause } : value,
    )
    lines.push(`${level} ${sentence} ${told}`)
  }
  return { lines, debug: keep('debug'), info: keep('info'), warn: keep('warn'), error: keep('error') }
}
