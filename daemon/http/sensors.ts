import { z } from 'zod'
import { SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import type { Desk } from '../ports/desk.ts'
import { idDiffers, statusOfEdit } from './answer.ts'
import { byName } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ sensor: SensorId })
const tags = ['sensors']

/** Sensors: claimed, changed, removed. */
export const sensorRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.put(
    '/sensors/:sensor',
    {
      schema: {
        tags,
        summary: 'Make or change a sensor; naming a topic claims it',
        params,
        body: Sensor,
        response: { 200: Sensor },
      },
    },
    async (request, reply) => {
      if (request.body.id !== request.params.sensor) return idDiffers(reply)
      const outcome = desk.saveSensor(request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfEdit)
    },
  )

  app.delete(
    '/sensors/:sensor',
    { schema: { tags, summary: 'Remove a sensor', params, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const outcome = desk.removeSensor(request.params.sensor, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfEdit)
    },
  )
}
