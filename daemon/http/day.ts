import { z } from 'zod'
import { CultureNow } from '../../schemas/culture.ts'
import { DayList } from '../../schemas/season.ts'
import type { Desk } from '../ports/desk.ts'
import { wholeNumber } from './query.ts'
import type { Routes } from './zod.ts'

/** What is coming is looked through two weeks ahead; a year is the longest winter (X3). */
const dayBounds = { usual: 14, most: 366 } as const

export const dayRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/day',
    {
      schema: {
        tags: ['day'],
        summary: 'What is to be done today and in the days after, by the plan and what was really done (S4)',
        querystring: z.strictObject({ days: wholeNumber(0, dayBounds.most).optional() }),
        response: { 200: DayList },
      },
    },
    async ({ query: { days = dayBounds.usual } }) => desk.day(days),
  )

  app.get(
    '/cultures',
    {
      schema: {
        tags: ['day'],
        summary: 'How long the live food lasts (S5)',
        querystring: z.strictObject({}),
        response: { 200: z.array(CultureNow).readonly() },
      },
    },
    async () => desk.cultures(),
  )
}
