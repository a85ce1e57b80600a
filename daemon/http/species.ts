import { z } from 'zod'
import { SpeciesId } from '../../schemas/ids.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import type { Desk } from '../ports/desk.ts'
import type { ProfileRefusal } from '../ports/season.ts'
import { idDiffers } from './answer.ts'
import { byName } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ species: SpeciesId })
const tags = ['species']

/** The catalogue of species and a house’s own profiles. */
export const speciesRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/species',
    {
      schema: {
        tags,
        summary: 'Species profiles, every number with its source',
        description: "The catalogue, then the keeper's own.",
        querystring: z.strictObject({}),
        response: { 200: z.array(SpeciesProfile).readonly() },
      },
    },
    async () => desk.species(),
  )

  app.put(
    '/species/:species',
    {
      schema: {
        tags,
        summary: 'Make or change a profile of your own',
        description:
          'Its id begins with `own-`; `own` says from which profile it is made, and why. A number that differs from the one it is made from says where it comes from.',
        params,
        body: SpeciesProfile,
        response: { 200: SpeciesProfile },
      },
    },
    async (request, reply) => {
      if (request.body.id !== request.params.species) return idDiffers(reply)
      const outcome = desk.saveProfile(request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfProfile)
    },
  )

  app.delete(
    '/species/:species',
    { schema: { tags, summary: 'Remove a profile of your own', params, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const outcome = desk.removeProfile(request.params.species, byName(request))
      return outcome.ok
        ? reply.code(204).send()
        : reply.refuse(outcome, { ...statusOfProfile, noSuchSpecies: 404 })
    },
  )
}

const statusOfProfile = {
  badId: 422,
  noReason: 422,
  noLimits: 422,
  noSource: 422,
  mustNotGoDown: 422,
  ruleNotValid: 422,
  inconsistent: 422,
  noSuchSpecies: 422,
  bandsConflict: 422,
  catalogued: 409,
  inUse: 409,
  tooMany: 409,
  notStored: 503,
} as const satisfies Record<ProfileRefusal, number>
