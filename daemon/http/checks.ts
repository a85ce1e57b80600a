import { z } from 'zod'
import { CalibratedQuantity } from '../../schemas/calibration.ts'
import { SensorId } from '../../schemas/ids.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { FoundCorrection, RawReadings, StartCheck } from '../../schemas/sensor-check.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { Desk } from '../ports/desk.ts'
import type { CheckRefusal } from '../ports/sensors.ts'
import { statusOfEdit } from './answer.ts'
import { byName } from './doors/guard.ts'
import { InstantText } from './query.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ sensor: SensorId })
const tags = ['sensors']

const statusOf = {
  ...statusOfEdit,
  noSuchSensor: 404,
  noSuchCalibration: 404,
  notCheckable: 422,
  tooLong: 422,
  badInstant: 422,
  badCorrection: 422,
  sameInstant: 409,
  tooManyCalibrations: 409,
  notNewest: 409,
} as const satisfies Record<CheckRefusal, number>

/** A sensor that is checked in ice or beside another, and the correction that is found. */
export const checkRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.post(
    '/sensors/:sensor/check',
    {
      schema: {
        tags,
        summary: 'I take this sensor away to check it: it does not speak for its place; zero minutes ends it',
        params,
        body: StartCheck,
        response: { 200: Sensor },
      },
    },
    async (request, reply) => {
      const lasts = minutes(request.body.minutes)
      const outcome = desk.checkSensor(request.params.sensor, lasts, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/sensors/:sensor/raw',
    {
      schema: {
        tags,
        summary: 'The newest readings as the sensor said them, uncorrected; of the last four hours at most',
        params,
        querystring: z.strictObject({
          quantity: CalibratedQuantity.default('temperature'),
          since: InstantText,
        }),
        response: { 200: RawReadings },
      },
    },
    async (request, reply) => {
      const { quantity, since } = request.query
      const outcome = desk.rawReadings(request.params.sensor, quantity, since)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchSensor: 404 })
    },
  )

  app.post(
    '/sensors/:sensor/calibrations',
    {
      schema: {
        tags,
        summary: 'Correct its readings from now on; what was read before keeps the correction of its time',
        params,
        body: FoundCorrection,
        response: { 200: Sensor },
      },
    },
    async (request, reply) => {
      const outcome = desk.addCalibration(request.params.sensor, request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.delete(
    '/sensors/:sensor/calibrations/:quantity/:from',
    {
      schema: {
        tags,
        summary: 'Take the newest correction of a quantity back',
        params: params.extend({ quantity: CalibratedQuantity, from: InstantText }),
        response: { 200: Sensor },
      },
    },
    async (request, reply) => {
      const { sensor, quantity, from } = request.params
      const outcome = desk.removeCalibration(sensor, quantity, from, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )
}
