import { z } from 'zod'
import { PlaceId } from '../../schemas/ids.ts'
import { PlaceLag } from '../../schemas/lag.ts'
import type { Desk } from '../ports/desk.ts'
import type { Routes } from './zod.ts'

/** How fast the animals’ side of a place follows its air. */
export const lagRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/places/:place/lag',
    {
      schema: {
        tags: ['series'],
        summary: 'How fast the animals’ side follows the air, measured by the probe in the substrate',
        description: 'Of the last 14 days, the newest stretch in which neither sensor was silent for long.',
        params: z.strictObject({ place: PlaceId }),
        querystring: z.strictObject({}),
        response: { 200: PlaceLag },
      },
    },
    async (request, reply) => {
      const outcome = await desk.lag(request.params.place)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404 })
    },
  )
}
