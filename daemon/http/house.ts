import { z } from 'zod'
import { House } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Desk } from '../ports/desk.ts'
import { statusOfEdit } from './answer.ts'
import { byName, signedIn } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const tags = ['house']

/** The household as a whole, and its own settings. */
export const houseRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/household',
    {
      schema: {
        tags,
        summary: 'Everything that is set up',
        description:
          'A sitter is not shown the bind keys of encrypted sensors, nor how contacts are reached.',
        querystring: z.strictObject({}),
        response: { 200: Household },
      },
    },
    async (request) => {
      const household = desk.household()
      if (signedIn(request).person.role === 'keeper') return household
      return {
        ...household,
        sensors: household.sensors.map(withoutKey),
        contacts: household.contacts.map((contact) => ({ ...contact, channels: [] })),
      }
    },
  )

  app.put(
    '/house',
    {
      schema: { tags, summary: "Change the household's own settings", body: House, response: { 200: House } },
    },
    async (request, reply) => {
      const outcome = desk.saveHouse(request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfEdit)
    },
  )
}

function withoutKey(sensor: Sensor): Sensor {
  if (sensor.decoder.kind !== 'bthome') return sensor
  const { key: _key, ...decoder } = sensor.decoder
  return { ...sensor, decoder }
}
