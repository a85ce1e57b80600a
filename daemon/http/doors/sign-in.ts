import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { Door, Me, SetUp, SignIn } from '../../../schemas/door.ts'
import type { PersonId } from '../../../schemas/ids.ts'
import type { JournalKind } from '../../../schemas/journal.ts'
import type { Person } from '../../../schemas/person.ts'
import { slugOf } from '../../../schemas/slug.ts'
import type { Clock, Desk, Log, PeopleStore, RandomBytes } from '../../ports.ts'
import type { Routes } from '../zod.ts'
import { everyone } from './guard.ts'
import { decoyHash, hashPassword, passwordFits } from './password.ts'
import type { Sessions } from './session.ts'
import { giveCookie, takeCookieBack, tokenIn } from './session-cookie.ts'
import { forgetSetUpCode, isSameCode, isSetUpNeeded, setUpCode } from './set-up-code.ts'
import { keyOf, tryLimit } from './try-limit.ts'
import { turnstile, turnstileBounds } from './turnstile.ts'

export interface SignInOptions {
  readonly desk: Desk
  readonly people: PeopleStore
  readonly sessions: Sessions
  readonly clock: Clock
  readonly log: Log
  readonly random: RandomBytes
}

/** The door itself: what anyone may ask before signing in. */
export const signInRoutes: Routes<SignInOptions> = async (app, options) => {
  const { desk, people, sessions, clock, log, random } = options
  const limit = tryLimit(clock)
  const gate = turnstile(turnstileBounds)
  const nobody = decoyHash(random)

  const note = (kind: JournalKind, by: string, text: string) => desk.note({ at: clock.now(), kind, by, text })
  const wrongTry = (request: FastifyRequest, wrongTries: number, what: string) => {
    log.warn({ address: request.ip, wrongTries }, what)
    // A thousand wrong tries make ten lines: the 1st, 2nd, 4th, 8th …
    if (Number.isInteger(Math.log2(wrongTries))) {
      note('signInFailed', 'brumal', `${what} from ${request.ip}: wrong try ${wrongTries}`)
    }
  }
  const open = (request: FastifyRequest, reply: FastifyReply, person: Person): Me => {
    const old = tokenIn(request)
    if (old !== null) sessions.end(old)
    giveCookie(request, reply, sessions.start(person.id, request.headers['user-agent'] ?? ''))
    return { person: { id: person.id, name: person.name, role: person.role }, setUpNeeded: false }
  }

  app.get(
    '/door',
    {
      config: { public: true },
      schema: { tags: ['door'], summary: 'Whether a first keeper is awaited', response: { 200: Door } },
    },
    async () => ({ setUpNeeded: isSetUpNeeded(people) }),
  )

  app.post(
    '/set-up',
    {
      config: { public: true },
      schema: { tags: ['door'], summary: 'Make the first keeper', body: SetUp, response: { 200: Me } },
    },
    async (request, reply) => {
      if (!isSetUpNeeded(people)) return alreadySetUp(reply)
      const { code, name, password } = request.body
      const { waitMs, wrongTries } = limit.admit(request.ip, null)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      if (!isSameCode(code, setUpCode(people, random))) {
        wrongTry(request, wrongTries, 'set-up with a wrong code')
        return reply.problem(403, 'wrongCode', 'That is not the code on the console.')
      }
      limit.succeeded(request.ip, null)
      const passwordHash = await gate.pass(() => hashPassword(password, random))
      if (passwordHash === null) return tooManyTries(reply, busyMs)
      if (!isSetUpNeeded(people)) return alreadySetUp(reply) // someone else was quicker while we hashed
      const person: Person = { id: slugOf(name) as PersonId, name, role: 'keeper' }
      people.savePerson({ ...person, passwordHash })
      forgetSetUpCode(people)
      note('setUp', name, 'first keeper')
      return open(request, reply, person)
    },
  )

  app.post(
    '/sign-in',
    {
      config: { public: true },
      schema: { tags: ['door'], summary: 'Sign in', body: SignIn, response: { 200: Me } },
    },
    async (request, reply) => {
      const { name, password } = request.body
      const { waitMs, wrongTries } = limit.admit(request.ip, name)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const known = people.people().find((person) => keyOf(person.name) === keyOf(name))
      const fits = await gate.pass(() => passwordFits(password, known?.passwordHash ?? nobody))
      if (fits === null) return tooManyTries(reply, busyMs)
      if (known === undefined || !fits) {
        // Of unknown names nothing is kept: people type passwords into the wrong box (X4)
        wrongTry(request, wrongTries, known ? `sign-in as ${known.name} failed` : 'sign-in failed')
        return reply.problem(401, 'wrongNameOrPassword', 'Name or password is wrong.')
      }
      limit.succeeded(request.ip, name)
      note('signedIn', known.name, `from ${request.ip}`)
      return open(request, reply, known)
    },
  )

  app.post(
    '/sign-out',
    {
      config: { roles: everyone },
      schema: {
        tags: ['door'],
        summary: 'Sign out',
        body: z.strictObject({}).optional(),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const token = tokenIn(request)
      if (token !== null) sessions.end(token)
      takeCookieBack(request, reply)
      return reply.code(204).send()
    },
  )
}

/** How long to stay away when too many wait at the turnstile. */
const busyMs = 5000

const alreadySetUp = <Reply extends FastifyReply>(reply: Reply) =>
  reply.problem(409, 'alreadySetUp', 'This household has its keeper. Sign in.')

function tooManyTries<Reply extends FastifyReply>(reply: Reply, waitMs: number) {
  const seconds = Math.ceil(waitMs / 1000)
  void reply.header('retry-after', String(seconds))
  return reply.problem(429, 'tooManyTries', `Too many tries. Wait ${seconds} s.`)
}
