import { z } from 'zod'
import { Me } from '../../schemas/door.ts'
import { signedIn } from './doors/guard.ts'
import type { Routes } from './zod.ts'

/** Who is asking. */
export const meRoutes: Routes<Record<never, never>> = async (app) => {
  app.get(
    '/me',
    {
      schema: {
        tags: ['door'],
        summary: 'Who is signed in',
        querystring: z.strictObject({}),
        response: { 200: Me },
      },
    },
    async (request) => ({ person: signedIn(request).person, setUpNeeded: false as const }),
  )
}
