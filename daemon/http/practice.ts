import { z } from 'zod'
import { Practice, SwitchPractice } from '../../schemas/acts.ts'
import type { Desk } from '../ports/desk.ts'
import { byName } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const tags = ['practice']

/** The way into the practice household and out of it. */
export const practiceRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/practice',
    {
      schema: {
        tags,
        summary: 'The invented household to practise with',
        querystring: z.strictObject({}),
        response: { 200: Practice },
      },
    },
    async () => desk.practice(),
  )

  app.post(
    '/practice',
    {
      schema: {
        tags,
        summary: 'Start or end it; the daemon restarts into the other household',
        body: SwitchPractice,
        response: { 202: Practice },
      },
    },
    async (request, reply) => {
      const outcome = desk.switchPractice(request.body.on, byName(request))
      return outcome.ok ? reply.code(202).send(desk.practice()) : reply.refuse(outcome, { notOffered: 409 })
    },
  )
}
