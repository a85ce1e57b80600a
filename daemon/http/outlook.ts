import { z } from 'zod'
import { PlaceId } from '../../schemas/ids.ts'
import { PlaceOutlook } from '../../schemas/outlook.ts'
import type { Desk } from '../ports/desk.ts'
import type { Routes } from './zod.ts'

/** How long a place holds if the power fails now. */
export const outlookRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/places/:place/outlook',
    {
      schema: {
        tags: ['series'],
        summary: 'How long until each limit if the power failed now, or if it cooled without a stop',
        description:
          'Learnt from times without cooling in the last 60 days; what is not known yet says so, with what would tell it.',
        params: z.strictObject({ place: PlaceId }),
        querystring: z.strictObject({}),
        response: { 200: PlaceOutlook },
      },
    },
    async (request, reply) => {
      const outcome = await desk.outlook(request.params.place)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404 })
    },
  )
}
