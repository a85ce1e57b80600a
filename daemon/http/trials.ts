import { z } from 'zod'
import { PlaceId, SpeciesId } from '../../schemas/ids.ts'
import { TrialAct, TrialKept, TrialNow } from '../../schemas/trial-report.ts'
import type { Desk } from '../ports/desk.ts'
import { statusOfEdit } from './answer.ts'
import { byName } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ place: PlaceId })
const tags = ['places']

/** More than the catalogue has (X3). */
const longestList = 500

/** `a,b`; each an id. */
const SpeciesList = z
  .string()
  .min(1)
  .max(longestList)
  .transform((text) => text.split(','))
  .pipe(z.array(SpeciesId).max(50))

export const trialRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/places/:place/trial',
    {
      schema: {
        tags,
        summary: 'What running a place empty showed, so far or to its end; nulls where it never ran',
        params,
        querystring: z.strictObject({ species: SpeciesList.optional() }),
        response: { 200: TrialNow },
      },
    },
    async (request, reply) => {
      const outcome = await desk.trial(request.params.place, request.query.species ?? null)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, noSuchSpecies: 404 })
    },
  )

  app.post(
    '/places/:place/trial',
    {
      schema: {
        tags,
        summary: 'Begin or end the trial run of a place, pull its plug, put it back, or throw the run away',
        params,
        body: TrialAct,
        response: { 200: TrialKept },
      },
    },
    async (request, reply) => {
      const outcome = desk.actOnTrial(request.params.place, request.body, byName(request))
      return outcome.ok
        ? outcome.value
        : reply.refuse(outcome, {
            ...statusOfEdit,
            noSuchPlace: 404,
            animalsDown: 409,
            alreadyRuns: 409,
            nothingRuns: 409,
            noSensor: 409,
            plugIsOut: 409,
            plugIsIn: 409,
            tooManyPlugs: 409,
          })
    },
  )
}
