import { z } from 'zod'
import { AccessTokenNow, MadeToken, MakeToken } from '../../../schemas/access.ts'
import type { Routes } from '../zod.ts'
import type { Doors } from './doors.ts'
import { byName, signedIn } from './guard.ts'
import { say } from '../../../shared/words/say.ts'

/** At once (X3): each script has one, and a household has few scripts. */
export const mostTokens = 50

const tags = ['access']

/** Access tokens: keys for scripts, made and ended by keepers. */
export const tokenRoutes: Routes<Doors> = async (app, { desk, tokens, clock }) => {
  const note = (by: string, text: string) => desk.note({ at: clock.now(), kind: 'accessChanged', by, text })

  app.post(
    '/tokens',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Make an access token',
        description: 'The secret is shown here and never again.',
        body: MakeToken,
        response: { 200: MadeToken },
      },
    },
    async (request, reply) => {
      if (tokens.all().length >= mostTokens)
        return reply.problem(
          409,
          'tooMany',
          say('There may be {mostTokens} access tokens. End one.', { mostTokens }),
        )
      const made = tokens.make(request.body, signedIn(request).person.id)
      note(
        byName(request),
        say('New access token: {token}, scope {scope}.', { token: made.token.name, scope: made.token.scope }),
      )
      return made
    },
  )

  app.delete(
    '/tokens/:id',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'End an access token',
        params: z.strictObject({ id: AccessTokenNow.shape.id }),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const ended = tokens.end(request.params.id)
      if (ended === null) return reply.problem(404, 'noSuchToken', say('There is no such access token.'))
      note(byName(request), say('Access token ended: {ended}.', { ended: ended.name }))
      return reply.code(204).send()
    },
  )
}
