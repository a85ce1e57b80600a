import { randomBytes } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify'
import { hashPassword } from '../../daemon/http/doors/password.ts'
import { buildServer, type ServerOptions } from '../../daemon/http/server.ts'
import type { Log, PeopleStore } from '../../daemon/ports.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import type { PersonId } from '../../schemas/ids.ts'
import type { Role } from '../../schemas/person.ts'
import { instant, later, millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { type DeskForHttp, deskForHttp } from './desk-for-http.ts'

/** A server over a real database and a desk in memory, with a clock that stands still until it is moved. */
export interface HttpHouse {
  readonly app: FastifyInstance
  readonly desk: DeskForHttp
  readonly people: PeopleStore
  readonly log: { readonly lines: string[] }
  readonly clock: { now(): Instant; uptime(): Millis; move(ms: number): void }
  readonly setUpCode: string | null
  /** Signs in and gives the cookie. */
  signedIn(role: Role): Promise<string>
  /** Asks as that person; a body goes as JSON. */
  as(cookie: string, method: Method, url: string, body?: unknown): Promise<LightMyRequestResponse>
  close(): Promise<void>
}

export type Method = NonNullable<InjectOptions['method']>

export const password = { keeper: 'toads in the cellar', sitter: 'watering the newts' } as const

/** Hashed once: 0.2 s each, and no test here is about the salt. */
const hashes: Partial<Record<Role, Promise<string>>> = {}

export async function httpHouse(
  options: Partial<Pick<ServerOptions, 'webRoot' | 'trustProxy' | 'pingEvery'>> & { people?: 'none' } = {},
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
  const desk = deskForHttp(clock.now)
  if (options.people !== 'none') {
    for (const [id, role] of [
      ['ada', 'keeper'],
      ['bo', 'sitter'],
    ] as const) {
      const passwordHash = await (hashes[role] ??= hashPassword(password[role], randomBytes))
      people.savePerson({ id: id as PersonId, name: id === 'ada' ? 'Ada' : 'Bo', role, passwordHash })
    }
  }
  let setUpCode: string | null = null
  const app = await buildServer({
    desk,
    people,
    clock,
    log,
    random: randomBytes,
    webRoot: options.webRoot ?? null,
    onSetupCode: (code) => {
      setUpCode = code
    },
    ...(options.trustProxy !== undefined && { trustProxy: options.trustProxy }),
    ...(options.pingEvery !== undefined && { pingEvery: options.pingEvery }),
  }).catch(async (error: unknown) => {
    db.close()
    await removeFolder()
    throw error
  })
  const as: HttpHouse['as'] = (cookie, method, url, body) =>
    app.inject({
      method,
      url,
      headers: { cookie, ...(body !== undefined && { 'content-type': 'application/json' }) },
      ...(body !== undefined && { payload: JSON.stringify(body) }),
    })

  return {
    app,
    desk,
    people,
    log,
    clock,
    setUpCode,
    as,
    async signedIn(role) {
      const name = role === 'keeper' ? 'Ada' : 'Bo'
      const answer = await as('', 'POST', '/api/sign-in', { name, password: password[role] })
      return cookieOf(answer.headers['set-cookie'])
    },
    async close() {
      await app.close()
      db.close()
      await removeFolder()
    },
  }
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
