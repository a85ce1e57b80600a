import { z } from 'zod'
import { NightCurve, Series, Winter } from '../../schemas/api.ts'
import { PlaceCost } from '../../schemas/cost.ts'
import { PlaceId, SensorId } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Desk } from '../ports/desk.ts'
import { InstantText, wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** Columns of one curve: from the two that make a line to more than the widest screen shows (X3). */
const columnBounds = { least: 2, most: 5000 } as const
/** About a screen's width in pixels. */
const usualColumns = 1500

const PlaceParams = z.strictObject({ place: PlaceId })
const Measured = Quantity.default('temperature')

export const seriesRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/sensors/:sensor/series',
    {
      schema: {
        tags: ['series'],
        summary: 'Readings of one sensor as columns',
        params: z.strictObject({ sensor: SensorId }),
        querystring: z.strictObject({
          quantity: Measured,
          from: InstantText,
          to: InstantText,
          columns: wholeNumber(columnBounds.least, columnBounds.most).optional(),
        }),
        response: { 200: Series },
      },
    },
    async (request, reply) => {
      const { quantity, from, to, columns = usualColumns } = request.query
      const outcome = desk.series(request.params.sensor, quantity, from, to, columns)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchSensor: 404, badStretch: 422 })
    },
  )

  app.get(
    '/places/:place/night',
    {
      schema: {
        tags: ['series'],
        summary: 'One night of one place; the night now running or last passed when no date is given',
        params: PlaceParams,
        querystring: z.strictObject({ quantity: Measured, date: z.iso.date().optional() }),
        response: { 200: NightCurve },
      },
    },
    async (request, reply) => {
      const { quantity, date = null } = request.query
      const outcome = desk.nightCurve(request.params.place, quantity, date)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, badDate: 422 })
    },
  )

  app.get(
    '/places/:place/winter',
    {
      schema: {
        tags: ['series'],
        summary: 'Every night of one season; the newest with readings when none is given',
        params: PlaceParams,
        querystring: z.strictObject({
          quantity: Measured,
          season: z
            .string()
            .regex(/^\d{4}(?:\/\d{2})?$/, 'expected a season such as 2026/27 or 2026')
            .optional(),
        }),
        response: { 200: Winter },
      },
    },
    async (request, reply) => {
      const { quantity, season = null } = request.query
      const outcome = desk.winter(request.params.place, quantity, season)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, badSeason: 422 })
    },
  )

  app.get(
    '/places/:place/cost',
    {
      schema: {
        tags: ['series'],
        summary:
          'What a stretch did to one place: time and degree-hours out of each limit, mean kinetic temperature',
        params: PlaceParams,
        querystring: z.strictObject({ from: InstantText, to: InstantText }),
        response: { 200: PlaceCost },
      },
    },
    async (request, reply) => {
      const { from, to } = request.query
      const outcome = await desk.cost(request.params.place, from, to)
      return outcome.ok ? outcome.value : reply.refuse(outcome, { noSuchPlace: 404, badStretch: 422 })
    },
  )
}
