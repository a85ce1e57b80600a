import { z } from 'zod'
import { JournalLine } from '../../schemas/api.ts'
import { PlaceId } from '../../schemas/ids.ts'
import { JournalKind } from '../../schemas/journal.ts'
import type { Desk } from '../ports/desk.ts'
import { InstantText, repeated, TrueOrFalse, wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** Lines of one answer: what a person reads in one go, and at most what a page can show (X3). */
const lineBounds = { usual: 100, most: 500 } as const
/** Places of one question: a cold room with all its boxes (X3). */
const mostPlaces = 64

export const journalRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/journal',
    {
      schema: {
        tags: ['journal'],
        summary:
          'What was raised, told and done; newest first, ids below `before`. `place` and `kind`, each as often as needed, leave out the other lines; they need `from`',
        querystring: z
          .strictObject({
            before: wholeNumber(1, Number.MAX_SAFE_INTEGER).optional(),
            limit: wholeNumber(1, lineBounds.most).optional(),
            alarmsOnly: TrueOrFalse.optional(),
            from: InstantText.optional(),
            place: repeated(PlaceId, mostPlaces).optional(),
            kind: repeated(JournalKind, JournalKind.options.length).optional(),
          })
          // Without a beginning a rare line would be looked for through all the years (X3).
          .refine(({ from, place, kind }) => from !== undefined || (place ?? kind) === undefined, {
            path: ['from'],
            message: 'expected where `place` or `kind` is given',
          }),
        response: { 200: z.array(JournalLine).readonly() },
      },
    },
    async (request) => {
      const { before, limit = lineBounds.usual, alarmsOnly = false, from, place, kind } = request.query
      return desk.journal({
        limit,
        alarmsOnly,
        ...(before !== undefined && { before }),
        ...(from !== undefined && { from }),
        ...(place !== undefined && { places: place }),
        ...(kind !== undefined && { kinds: kind }),
      })
    },
  )
}
