import { z } from 'zod'
import { SpeciesProfile } from '../../schemas/species.ts'
import type { Desk } from '../ports.ts'
import type { Routes } from './zod.ts'

export const speciesRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/species',
    {
      schema: {
        tags: ['species'],
        summary: 'Species profiles, every number with its source',
        querystring: z.strictObject({}),
        response: { 200: z.array(SpeciesProfile).readonly() },
      },
    },
    async () => desk.species(),
  )
}
