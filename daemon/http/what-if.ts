import { z } from 'zod'
import { PlaceId } from '../../schemas/ids.ts'
import { WhatIfAsk, WhatIfBasis, WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import type { Desk } from '../ports/desk.ts'
import type { Routes } from './zod.ts'

const tags = ['what if']
const params = z.strictObject({ id: WhatIfId })
const statusOfStart = {
  noSuchPlace: 422,
  badSeason: 422,
  badStretch: 422,
  badLimits: 422,
  nothingStored: 409,
  alreadyRuns: 409,
} as const

/** A past time of a place, judged by other limits. */
export const whatIfRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/places/:place/what-if',
    {
      schema: {
        tags,
        summary: 'What trying other limits on a past winter of a place begins with',
        params: z.strictObject({ place: PlaceId }),
        querystring: z.strictObject({ season: z.string().max(7).optional() }),
        response: { 200: WhatIfBasis },
      },
    },
    async (request, reply) => {
      const outcome = desk.whatIfBasis(request.params.place, request.query.season ?? null)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, badSeason: 400 })
    },
  )

  app.post(
    '/what-if',
    {
      schema: {
        tags,
        summary: 'Begin to judge a past time by other limits; nobody is told anything, one at a time',
        body: WhatIfAsk,
        response: { 202: WhatIfNow },
      },
    },
    async (request, reply) => {
      const outcome = desk.startWhatIf(request.body)
      return outcome.ok ? reply.code(202).send(outcome.value) : reply.refuse(outcome, statusOfStart)
    },
  )

  app.get(
    '/what-if/:id',
    { schema: { tags, summary: 'How far it is, or what came of it', params, response: { 200: WhatIfNow } } },
    async (request, reply) => {
      const outcome = desk.whatIf(request.params.id)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchRun: 404 })
    },
  )

  app.delete(
    '/what-if/:id',
    {
      schema: {
        tags,
        summary: 'Cancel it, or forget its result',
        params,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const outcome = desk.cancelWhatIf(request.params.id)
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, { noSuchRun: 404 })
    },
  )
}
