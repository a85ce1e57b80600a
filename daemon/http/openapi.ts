import swagger from '@fastify/swagger'
import type { FastifyInstance } from 'fastify'
import { createJsonSchemaTransform, createJsonSchemaTransformObject } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { Alarm } from '../../schemas/alarm.ts'
import { Animal } from '../../schemas/animal.ts'
import { House, JournalLine, Night, PlaceNow, Problem, Tonight, ValueNow } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import { Person } from '../../schemas/person.ts'
import { Place } from '../../schemas/place.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { problemResponses } from './problem.ts'
import type { Routes } from './zod.ts'

/** Schemas that the document names once and refers to. */
const named = {
  Alarm,
  Animal,
  House,
  Household,
  JournalLine,
  Night,
  Person,
  Place,
  PlaceNow,
  Problem,
} as const
const alsoNamed = { Sensor, SpeciesProfile, Tonight, ValueNow } as const

/** Gathers every route after it into one OpenAPI 3.1 document. */
export async function describeApi(app: FastifyInstance): Promise<void> {
  const schemaRegistry = z.registry<{ id: string }>()
  for (const [id, schema] of Object.entries({ ...named, ...alsoNamed })) schemaRegistry.add(schema, { id })

  app.addHook('onRoute', (route) => {
    if (route.schema === undefined || route.schema.hide === true) return
    route.schema.response = { ...problemResponses, ...(route.schema.response as object | undefined) }
    if (route.config?.public === true) route.schema.security = []
    else if (route.config?.tokens === 'none') route.schema.security = [{ session: [] }]
  })
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Brumal',
        description: 'Watches hibernating reptiles and amphibians. Instants are Unix milliseconds, UTC.',
        version: '1',
      },
      components: {
        securitySchemes: {
          session: { type: 'apiKey', in: 'cookie', name: 'brumal_session' },
          token: { type: 'http', scheme: 'bearer', description: 'An access token, in its scope.' },
        },
      },
      security: [{ session: [] }, { token: [] }],
    },
    transform: createJsonSchemaTransform({ schemaRegistry }),
    transformObject: createJsonSchemaTransformObject({ schemaRegistry }),
  })
}

export const openapiRoutes: Routes<Record<never, never>> = async (app) => {
  app.get(
    '/openapi.json',
    { schema: { hide: true, querystring: z.strictObject({}) } },
    async () => app.swagger(), // kept by the plugin after the first call
  )
}
