import { z } from 'zod'
import { Connection } from '../../schemas/api.ts'
import { Source } from '../../schemas/source.ts'
import type { Desk } from '../ports/desk.ts'
import { keepers } from './doors/guard.ts'
import type { Routes } from './zod.ts'

/** What is heard on the broker and not claimed yet. */
export const sourceRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/sources',
    {
      schema: {
        tags: ['sources'],
        summary: 'Topics that have been heard, claimed or not',
        querystring: z.strictObject({}),
        response: { 200: z.array(Source).readonly() },
      },
    },
    async () => desk.sources(),
  )

  app.get(
    '/connection',
    {
      config: { roles: keepers }, // it holds the sensors' password (X4)
      schema: {
        tags: ['sources'],
        summary: 'How a sensor reaches us',
        querystring: z.strictObject({}),
        response: { 200: Connection },
      },
    },
    async () => desk.connection(),
  )
}
