import { z } from 'zod'
import { PlaceAir } from '../../schemas/air.ts'
import { PlaceId } from '../../schemas/ids.ts'
import type { Desk } from '../ports/desk.ts'
import { InstantText } from './query.ts'
import type { Routes } from './zod.ts'

/** How dry the air of a place was, and how long its coldest surface was wet. */
export const airRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/places/:place/air',
    {
      schema: {
        tags: ['series'],
        summary:
          'How dry the air of one place was, and how long its coldest surface was wet; at most 31 days',
        params: z.strictObject({ place: PlaceId }),
        querystring: z.strictObject({ from: InstantText, to: InstantText }),
        response: { 200: PlaceAir },
      },
    },
    async (request, reply) => {
      const { from, to } = request.query
      const outcome = await desk.air(request.params.place, from, to)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, badStretch: 422 })
    },
  )
}
