import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { ChangePassword } from '../../../schemas/access.ts'
import type { Routes } from '../zod.ts'
import type { Doors } from './doors.ts'
import { everyone, signedIn } from './guard.ts'
import { openDoor } from './open-door.ts'
import { hashPassword, passwordFits } from './password.ts'
import { busyMs, tooManyTries } from './wrong-tries.ts'
import { say } from '../../../shared/words/say.ts'

/** One's own password. The old one is asked for: a phone left on the table is not enough. */
export const passwordRoutes: Routes<Doors> = async (app, doors) => {
  const { desk, people, sessions, clock, random, passwordTries, gate, noteWrongTry } = doors

  app.post(
    '/me/password',
    {
      config: { roles: everyone, tokens: 'none' },
      schema: {
        tags: ['access'],
        summary: 'Change my password',
        description: 'Every other browser is signed out, and this one gets a new cookie.',
        body: ChangePassword,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const { person, tokenHash } = signedIn(request)
      const { waitMs, wrongTries } = passwordTries.admit(request.ip, person.name)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const find = () => people.people().find(({ id }) => id === person.id)
      const asked = find()
      if (asked === undefined) return changedMeanwhile(reply)
      const fits = await gate.pass(() => passwordFits(request.body.old, asked.passwordHash))
      if (fits === null) return tooManyTries(reply, busyMs)
      if (!fits) {
        noteWrongTry(request.ip, wrongTries, `${person.name} changing the password with a wrong one`)
        return reply.problem(403, 'wrongPassword', say('That is not your password until now.'))
      }
      passwordTries.succeeded(request.ip, person.name)
      const passwordHash = await gate.pass(() => hashPassword(request.body.password, random))
      if (passwordHash === null) return tooManyTries(reply, busyMs)
      // Signed out, removed or changed from elsewhere while we hashed
      const now = find()
      if (now === undefined || now.passwordHash !== asked.passwordHash || !sessions.stands(tokenHash))
        return changedMeanwhile(reply)
      // In this order: if the second fails, nobody is left in by the old password
      sessions.endAllOf(person.id)
      people.savePerson({ ...now, passwordHash })
      const text = say('Every other browser is signed out.')
      desk.note({ at: clock.now(), kind: 'passwordChanged', by: person.name, text })
      openDoor(request, reply, sessions, now)
      return reply.code(204).send()
    },
  )
}

const changedMeanwhile = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(409, 'changedMeanwhile', say('Your sign-in was changed meanwhile. Sign in again.'))
