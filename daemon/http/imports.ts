import { z } from 'zod'
import { minutes } from '../../schemas/amounts.ts'
import {
  ImportChoice,
  ImportId,
  ImportLine,
  LookChoice,
  tableBytes,
  TableLook,
  UndoneImport,
} from '../../schemas/import.ts'
import type { Desk } from '../ports/desk.ts'
import type { ImportRefusal } from '../ports/imports.ts'
import { byName, keepers } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ import: ImportId })
const tags = ['imports']
/** A choice with 16 columns is under 4 KiB. */
const config = { roles: keepers }

export const importRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  // The bytes as they come, for `POST /imports` alone: they are never held in memory
  app.addContentTypeParser('text/csv', (_request, payload, done) => done(null, payload))

  app.get(
    '/imports',
    {
      config,
      schema: {
        tags,
        summary:
          'Tables of past winters that were taken in, newest first, and how far one is that is being taken in',
        querystring: z.strictObject({}),
        response: { 200: z.array(ImportLine) },
      },
    },
    async () => [...desk.imports()],
  )

  app.post(
    '/imports',
    {
      bodyLimit: tableBytes,
      config: { ...config, arrivesWithin: minutes(5) },
      schema: {
        tags,
        summary:
          'Send a table of readings of a past winter, up to 64 MiB and 2 million rows, and see what it seems to be',
        description:
          'The body is the file itself, as text/csv, whatever wrote it and however it is encoded. It waits, and nothing of it is kept, until it is taken in with `POST /imports/{import}`; it is forgotten when Brumal stops.',
        querystring: z.strictObject({ file: z.string().min(1).max(255) }),
        response: { 200: TableLook },
      },
    },
    async (request, reply) => {
      if (!isStream(request.body)) return reply.problem(415, 'notCsv', 'Send the table itself, as text/csv.')
      // A body that is not gathered here is not counted here either: one that says its length is not waited for
      if (Number(request.headers['content-length'] ?? 0) > tableBytes)
        return reply.problem(413, 'tooLarge', `A table may have at most ${tableBytes / 1_048_576} MB.`)
      const outcome = await desk.holdTable(request.query.file, request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfImport)
    },
  )

  app.post(
    '/imports/:import/look',
    {
      config,
      schema: {
        tags,
        summary: 'Look through a table that waits, by the zone, order of dates, columns and units given',
        params,
        body: LookChoice,
        response: { 200: TableLook },
      },
    },
    async (request, reply) => {
      const outcome = await desk.lookThrough(request.params.import, request.body)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfImport)
    },
  )

  app.post(
    '/imports/:import',
    {
      config,
      schema: {
        tags,
        summary: 'Begin to take in a table that waits; `GET /imports` says how far it is',
        description:
          'Lines at fault are left out. Readings that are there already stay as they are, so that the same table a second time adds nothing. What comes in is not judged: it raises no alarm.',
        params,
        body: ImportChoice,
        response: { 200: ImportLine },
      },
    },
    async (request, reply) => {
      const outcome = await desk.beginImport(request.params.import, request.body, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfImport)
    },
  )

  app.delete(
    '/imports/:import',
    {
      config,
      schema: {
        tags,
        summary: 'Take an import back: all that it added, and only that; a table that waits is forgotten',
        params,
        response: { 200: UndoneImport },
      },
    },
    async (request, reply) => {
      const outcome = await desk.undoImport(request.params.import, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfImport)
    },
  )
}

const isStream = (body: unknown): body is AsyncIterable<Uint8Array> =>
  typeof body === 'object' && body !== null && Symbol.asyncIterator in body

/** 409: true now, may pass · 413, 507: there is no room for it · 422: names what is not there, or must be said first. */
const statusOfImport = {
  noSuchImport: 404,
  notATable: 422,
  tooLarge: 413,
  tooManyRows: 413,
  diskFull: 507,
  busy: 409,
  askZone: 422,
  askDayOrder: 422,
  noSuchColumn: 422,
  noSuchSensor: 422,
  noSuchPlace: 422,
  sameTwice: 422,
  tooMany: 409,
  notStored: 503,
} as const satisfies Record<ImportRefusal, number>
