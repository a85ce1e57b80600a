import { createHash } from 'node:crypto'
import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { AnimalReport, SeasonReport } from '../../schemas/animal-report.ts'
import { AnimalId, PlaceId, SensorId } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Desk } from '../ports/desk.ts'
import { InstantText } from './query.ts'
import type { Routes } from './zod.ts'

const tags = ['reports']
const SeasonName = z.string().max(7).optional()
const OneAnimal = z.strictObject({ animal: AnimalId })
const Measured = Quantity.default('temperature')

/** What leaves the house on paper and in files. */
export const reportRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  const styleHash = createHash('sha256').update(desk.reportStyle).digest('base64')

  /** A page of its own: no script, nothing fetched; our own screen may show it. */
  const asPage = (reply: FastifyReply, name: string): FastifyReply =>
    reply
      .type('text/html; charset=utf-8')
      .header('content-disposition', `inline; filename="${name}.html"`)
      .header('x-frame-options', 'SAMEORIGIN')
      .header(
        'content-security-policy',
        `default-src 'none'; style-src 'sha256-${styleHash}'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'`,
      )
  const asCsv = (reply: FastifyReply, name: string): FastifyReply =>
    reply
      .type('text/csv; charset=utf-8; header=present')
      .header('content-disposition', `attachment; filename="${name}.csv"`)

  app.get(
    '/animals/:animal/report',
    {
      schema: {
        tags,
        summary:
          'The winter of one animal: curve, alarms, weigh-ins, condition; the season now when none is given',
        params: OneAnimal,
        querystring: z.strictObject({ season: SeasonName }),
        response: { 200: AnimalReport },
      },
    },
    async (request, reply) => {
      const outcome = await desk.animalReport(request.params.animal, request.query.season ?? null)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/animals/:animal/report.html',
    {
      schema: {
        tags,
        summary: 'The same as one self-contained page to print or keep',
        params: OneAnimal,
        querystring: z.strictObject({ season: SeasonName }),
        response: { 200: z.string() },
      },
    },
    async (request, reply) => {
      const { animal } = request.params
      const outcome = await desk.animalPage(animal, request.query.season ?? null)
      if (!outcome.ok) return reply.refuse(outcome, statusOf)
      return asPage(reply, `${animal}-winter`).send(outcome.value)
    },
  )

  app.get(
    '/season/report',
    {
      schema: {
        tags,
        summary: 'The winter of every animal beside the others',
        querystring: z.strictObject({ season: SeasonName }),
        response: { 200: SeasonReport },
      },
    },
    async (request, reply) => {
      const outcome = await desk.seasonReport(request.query.season ?? null)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/season/report.html',
    {
      schema: {
        tags,
        summary: 'The same as one self-contained page to print or keep',
        querystring: z.strictObject({ season: SeasonName }),
        response: { 200: z.string() },
      },
    },
    async (request, reply) => {
      const outcome = await desk.seasonPage(request.query.season ?? null)
      return outcome.ok ? asPage(reply, 'winter').send(outcome.value) : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/places/:place/nights.csv',
    {
      schema: {
        tags,
        summary: 'The nights of one place and season as CSV (RFC 4180)',
        params: z.strictObject({ place: PlaceId }),
        querystring: z.strictObject({ quantity: Measured, season: SeasonName }),
        response: { 200: z.string() },
      },
    },
    async (request, reply) => {
      const { quantity, season = null } = request.query
      const outcome = desk.nightsCsv(request.params.place, quantity, season)
      return outcome.ok
        ? asCsv(reply, `${request.params.place}-nights`).send(outcome.value)
        : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/sensors/:sensor/readings.csv',
    {
      schema: {
        tags,
        summary: 'Readings of one sensor as CSV, calibrated, at most 31 days; `brumal replay` reads it',
        params: z.strictObject({ sensor: SensorId }),
        querystring: z.strictObject({ quantity: Measured, from: InstantText, to: InstantText }),
        response: { 200: z.string() },
      },
    },
    async (request, reply) => {
      const { quantity, from, to } = request.query
      const outcome = desk.readingsCsv(request.params.sensor, quantity, from, to)
      return outcome.ok
        ? asCsv(reply, `${request.params.sensor}-readings`).send(outcome.value)
        : reply.refuse(outcome, statusOf)
    },
  )

  app.get(
    '/journal.csv',
    {
      schema: {
        tags,
        summary: 'The journal of a stretch as CSV, at most 800 days',
        querystring: z.strictObject({ from: InstantText, to: InstantText }),
        response: { 200: z.string() },
      },
    },
    async (request, reply) => {
      const outcome = desk.journalCsv(request.query.from, request.query.to)
      return outcome.ok ? asCsv(reply, 'journal').send(outcome.value) : reply.refuse(outcome, statusOf)
    },
  )
}

const statusOf = {
  noSuchAnimal: 404,
  noSuchPlace: 404,
  noSuchSensor: 404,
  badSeason: 422,
  badStretch: 422,
} as const
