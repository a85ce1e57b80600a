import { z } from 'zod'
import { Tonight } from '../../schemas/api.ts'
import type { Desk } from '../ports/desk.ts'
import type { Routes } from './zod.ts'

/** The answer to whether everyone is safe. */
export const tonightRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/tonight',
    {
      schema: {
        tags: ['tonight'],
        summary: 'Is everyone safe tonight?',
        querystring: z.strictObject({}),
        response: { 200: Tonight },
      },
    },
    async () => desk.tonight(),
  )
}
