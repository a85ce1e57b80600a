import { z } from 'zod'
import { DiaryEntry, DiaryKind, DiaryLine, ImportedDiary } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PlaceId } from '../../schemas/ids.ts'
import type { Desk } from '../ports/desk.ts'
import type { DiaryRefusal } from '../ports/season.ts'
import { idDiffers } from './answer.ts'
import { byName, everyone, signedIn } from './doors/guard.ts'
import { InstantText, repeated, TrueOrFalse, wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** Entries of one answer: what a person reads in one go, and a long winter of three entries a day (X3). */
const lineBounds = { usual: 200, most: 2000 } as const
/** A table of 5000 lines has about 70 characters in each on average, those of the export 110 (X3). */
const tableBytes = 1_048_576
/** As many as one table brings (X3). */
const mostTaken = 5000

const params = z.strictObject({ entry: EntryId })
const tags = ['diary']
/** Noting is for sitters too, and for a scale that a script reads. */
const config = { roles: everyone, tokens: 'act' } as const

export const diaryRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/diary',
    {
      schema: {
        tags,
        summary: 'What people noted of animals and places, newest first; `kind` as often as needed',
        querystring: z.strictObject({
          animal: AnimalId.optional(),
          place: PlaceId.optional(),
          kind: repeated(DiaryKind, DiaryKind.options.length).optional(),
          from: InstantText.optional(),
          to: InstantText.optional(),
          limit: wholeNumber(1, lineBounds.most).optional(),
        }),
        response: { 200: z.array(DiaryLine).readonly() },
      },
    },
    async ({ query: { animal, place, kind, from, to, limit = lineBounds.usual } }) =>
      desk.diary({
        limit,
        ...(animal !== undefined && { animal }),
        ...(place !== undefined && { place }),
        ...(kind !== undefined && { kinds: kind }),
        ...(from !== undefined && { from }),
        ...(to !== undefined && { to }),
      }),
  )

  app.put(
    '/diary/:entry',
    {
      config,
      schema: {
        tags,
        summary: 'Note something, change what was noted, or bring back what was removed',
        description:
          'The id is made by whoever notes it, so that the same entry sent twice is one. A sitter changes only what they noted themselves.',
        params,
        body: DiaryEntry,
        response: { 200: DiaryLine },
      },
    },
    async (request, reply) => {
      if (request.body.id !== request.params.entry) return idDiffers(reply)
      const outcome = desk.saveEntry(request.body, byName(request), rights(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfDiary)
    },
  )

  app.delete(
    '/diary/:entry',
    {
      config,
      schema: {
        tags,
        summary: 'Remove what was noted; sending it again brings it back',
        description: 'A sitter removes only what they noted themselves. What is gone already is no fault.',
        params,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const outcome = desk.removeEntries([request.params.entry], byName(request), rights(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfDiary)
    },
  )

  app.post(
    '/diary/removals',
    {
      bodyLimit: tableBytes,
      schema: {
        tags,
        summary: 'Remove several entries, all or none: takes an import back',
        body: z.strictObject({ entries: z.array(EntryId).min(1).max(mostTaken) }),
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const outcome = desk.removeEntries(request.body.entries, byName(request), rights(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfDiary)
    },
  )

  app.post(
    '/diary/import',
    {
      bodyLimit: 2 * tableBytes, // quotes and line breaks are two characters each in JSON
      schema: {
        tags,
        summary: 'Take in a table of entries (CSV), all or nothing; `trial=true` only looks it through',
        description:
          'Takes the table of `GET /diary.csv`, and a plain one with a column for the date, one for the animal, and others such as `weight (g)` or `note`. A second time adds nothing.',
        querystring: z.strictObject({ trial: TrueOrFalse.optional() }),
        body: z.strictObject({ csv: z.string().min(1).max(tableBytes) }),
        response: { 200: ImportedDiary },
      },
    },
    async (request, reply) => {
      const outcome = desk.importDiary(request.body.csv, request.query.trial ?? false, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfDiary)
    },
  )

  app.get(
    '/diary.csv',
    {
      schema: {
        tags,
        summary: 'Every entry that stands, as a table for a spreadsheet (RFC 4180)',
        querystring: z.strictObject({}),
        response: { 200: { description: 'The table', content: { 'text/csv': { schema: z.string() } } } },
      },
    },
    async (_request, reply) => {
      void reply
        .type('text/csv; charset=utf-8; header=present')
        .header('content-disposition', 'attachment; filename="brumal-diary.csv"')
      return desk.exportDiary()
    },
  )
}

const rights = (request: Parameters<typeof signedIn>[0]): 'all' | 'own' =>
  signedIn(request).person.role === 'keeper' ? 'all' : 'own'

/** 403: somebody else's · 409: true now, may pass · 422: names what is not there, or may never be so. */
export const statusOfDiary = {
  noSuchAnimal: 422,
  noSuchPlace: 422,
  noSuchEntry: 404,
  inFuture: 422,
  notByHand: 422,
  notYours: 403,
  noSuchPicture: 422,
  notAPicture: 415,
  idTaken: 409,
  tooMany: 409,
  notStored: 503,
} as const satisfies Record<DiaryRefusal, number>
