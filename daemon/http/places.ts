import { z } from 'zod'
import { Tend } from '../../schemas/acts.ts'
import { PlaceNow } from '../../schemas/api.ts'
import { PlaceId } from '../../schemas/ids.ts'
import { Place } from '../../schemas/place.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Desk } from '../ports/desk.ts'
import { idDiffers, statusOfEdit, statusOfRemoval } from './answer.ts'
import { byName, everyone } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ place: PlaceId })
const tags = ['places']

/** Places: made, changed, removed, and opened by a hand (A3). */
export const placeRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.put(
    '/places/:place',
    { schema: { tags, summary: 'Make or change a place', params, body: Place, response: { 200: Place } } },
    async (request, reply) => {
      if (request.body.id !== request.params.place) return idDiffers(reply)
      const outcome = desk.savePlace(request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfEdit)
    },
  )

  app.delete(
    '/places/:place',
    { schema: { tags, summary: 'Remove a place', params, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const outcome = desk.removePlace(request.params.place, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfRemoval)
    },
  )

  app.post(
    '/places/:place/tend',
    {
      config: { roles: everyone, tokens: 'act' },
      schema: {
        tags,
        summary: 'I am opening this (A3); zero minutes ends it',
        params,
        body: Tend,
        response: { 200: PlaceNow },
      },
    },
    async (request, reply) => {
      const outcome = desk.tend(request.params.place, minutes(request.body.minutes), byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, tooLong: 422 })
    },
  )
}
