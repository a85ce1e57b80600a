import { z } from 'zod'
import { SessionNow } from '../../../schemas/access.ts'
import type { StoredSession } from '../../ports/people.ts'
import type { Routes } from '../zod.ts'
import type { Doors } from './doors.ts'
import { byName, everyone, signedIn } from './guard.ts'
import { handleOf } from './secret-token.ts'
import type { SignedIn } from './session.ts'
import { takeCookieBack } from './session-cookie.ts'
import { say } from '../../../shared/words/say.ts'

const tags = ['access']

/** The browsers in which somebody is signed in: everyone sees and ends their own, a keeper ends any. */
export const sessionRoutes: Routes<Doors> = async (app, { desk, people, sessions, clock }) => {
  app.get(
    '/me/sessions',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Where I am signed in',
        querystring: z.strictObject({}),
        response: { 200: z.array(SessionNow) },
      },
    },
    async (request) => {
      const me = signedIn(request)
      return sessions
        .all()
        .filter(({ person }) => person === me.person.id)
        .map((session) => sessionNow(session, me))
    },
  )

  app.delete(
    '/sessions/:id',
    {
      config: { roles: everyone, tokens: 'none' },
      schema: {
        tags,
        summary: 'Sign a browser out',
        params: z.strictObject({ id: SessionNow.shape.id }),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const me = signedIn(request)
      const found = sessions.all().find(({ tokenHash }) => handleOf(tokenHash) === request.params.id)
      // A sitter learns nothing of others' sessions, not even that they are there
      if (found === undefined || (found.person !== me.person.id && me.person.role !== 'keeper'))
        return reply.problem(404, 'noSuchSession', say('There is no such sign-in.'))
      sessions.end(found.tokenHash)
      if (found.tokenHash === me.tokenHash) takeCookieBack(request, reply)
      const name = people.people().find(({ id }) => id === found.person)?.name ?? found.person
      const text = say('{name} is signed out of one browser.', { name })
      desk.note({ at: clock.now(), kind: 'signedOut', by: byName(request), text })
      return reply.code(204).send()
    },
  )
}

/** A session without its hash. */
export function sessionNow(session: StoredSession, me: SignedIn): SessionNow {
  const { tokenHash, person, createdAt, seenAt, agent } = session
  return { id: handleOf(tokenHash), person, createdAt, seenAt, agent, isThis: tokenHash === me.tokenHash }
}
