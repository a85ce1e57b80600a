import { z } from 'zod'
import { JournalLine } from '../../schemas/api.ts'
import type { Desk } from '../ports.ts'
import { TrueOrFalse, wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** Lines of one answer: what a person reads in one go, and at most what a page can show (X3). */
const lineBounds = { usual: 100, most: 500 } as const

export const journalRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/journal',
    {
      schema: {
        tags: ['journal'],
        summary: 'What was raised, told and done; newest first, ids below `before`',
        querystring: z.strictObject({
          before: wholeNumber(1, Number.MAX_SAFE_INTEGER).optional(),
          limit: wholeNumber(1, lineBounds.most).optional(),
          alarmsOnly: TrueOrFalse.optional(),
        }),
        response: { 200: z.array(JournalLine).readonly() },
      },
    },
    async (request) => {
      const { before, limit = lineBounds.usual, alarmsOnly = false } = request.query
      return desk.journal({ limit, alarmsOnly, ...(before !== undefined && { before }) })
    },
  )
}
