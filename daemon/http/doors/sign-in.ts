import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { Door, Me, SetUp, SignIn } from '../../../schemas/door.ts'
import type { PersonId } from '../../../schemas/ids.ts'
import type { JournalKind } from '../../../schemas/journal.ts'
import type { Person } from '../../../schemas/person.ts'
import { slugOf } from '../../../schemas/slug.ts'
import type { Routes } from '../zod.ts'
import type { Doors } from './doors.ts'
import { byName, everyone, signedIn } from './guard.ts'
import { openDoor } from './open-door.ts'
import { decoyHash, hashPassword, passwordFits } from './password.ts'
import { takeCookieBack } from './session-cookie.ts'
import { forgetSetUpCode, isSameCode, isSetUpNeeded, setUpCode } from './set-up-code.ts'
import { keyOf } from './try-limit.ts'
import { busyMs, tooManyTries } from './wrong-tries.ts'

/** The door itself: what anyone may ask before signing in. */
export const signInRoutes: Routes<Doors> = async (app, doors) => {
  const { desk, people, sessions, clock, random, passwordTries, gate, noteWrongTry } = doors
  const nobody = decoyHash(random)

  const note = (kind: JournalKind, by: string, text: string) => desk.note({ at: clock.now(), kind, by, text })

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
      const { waitMs, wrongTries } = passwordTries.admit(request.ip, null)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      if (!isSameCode(code, setUpCode(people, random))) {
        noteWrongTry(request.ip, wrongTries, 'set-up with a wrong code')
        return reply.problem(403, 'wrongCode', 'That is not the code on the console.')
      }
      passwordTries.succeeded(request.ip, null)
      const passwordHash = await gate.pass(() => hashPassword(password, random))
      if (passwordHash === null) return tooManyTries(reply, busyMs)
      if (!isSetUpNeeded(people)) return alreadySetUp(reply) // someone else was quicker while we hashed
      const person: Person = { id: slugOf(name) as PersonId, name, role: 'keeper' }
      people.savePerson({ ...person, passwordHash })
      forgetSetUpCode(people)
      note('setUp', name, 'first keeper')
      return openDoor(request, reply, sessions, person)
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
      const { waitMs, wrongTries } = passwordTries.admit(request.ip, name)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const find = () => people.people().find((person) => keyOf(person.name) === keyOf(name))
      const asked = find()
      const fits = await gate.pass(() => passwordFits(password, asked?.passwordHash ?? nobody))
      if (fits === null) return tooManyTries(reply, busyMs)
      // Removed, or given another password, while we checked: then this one is wrong now
      const known = find()
      if (known === undefined || !fits || known.passwordHash !== asked?.passwordHash) {
        // Of unknown names nothing is kept: people type passwords into the wrong box (X4)
        noteWrongTry(request.ip, wrongTries, known ? `sign-in as ${known.name} failed` : 'sign-in failed')
        return reply.problem(401, 'wrongNameOrPassword', 'Name or password is wrong.')
      }
      passwordTries.succeeded(request.ip, name)
      note('signedIn', known.name, `from ${request.ip}`)
      return openDoor(request, reply, sessions, known)
    },
  )

  app.post(
    '/sign-out',
    {
      config: { roles: everyone, tokens: 'none' },
      schema: {
        tags: ['door'],
        summary: 'Sign out',
        body: z.strictObject({}).optional(),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      sessions.end(signedIn(request).tokenHash)
      takeCookieBack(request, reply)
      note('signedOut', byName(request), 'from this browser')
      return reply.code(204).send()
    },
  )
}

const alreadySetUp = <Reply extends FastifyReply>(reply: Reply) =>
  reply.problem(409, 'alreadySetUp', 'This household has its keeper. Sign in.')
