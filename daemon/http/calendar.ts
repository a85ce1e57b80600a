import { z } from 'zod'
import { CalendarNow, MadeCalendar } from '../../schemas/calendar.ts'
import { calendarFeeds } from './doors/calendar-feeds.ts'
import type { Doors } from './doors/doors.ts'
import { byName, everyone, signedIn } from './doors/guard.ts'
import { tooManyTries } from './doors/wrong-tries.ts'
import type { Routes } from './zod.ts'
import { say } from '../../shared/words/say.ts'

const tags = ['day']
const config = { roles: everyone, tokens: 'none' } as const

/** Everybody's own calendar feed: made, seen to exist, ended. */
export const calendarRoutes: Routes<Doors> = async (app, { desk, people, clock, random, address }) => {
  const feeds = calendarFeeds(people, clock, random)
  const note = (by: string, text: string) => desk.note({ at: clock.now(), kind: 'accessChanged', by, text })

  app.get(
    '/calendar',
    {
      config,
      schema: {
        tags,
        summary: 'Whether I have a calendar feed',
        querystring: z.strictObject({}),
        response: { 200: CalendarNow },
      },
    },
    async (request) => ({ madeAt: feeds.madeAt(signedIn(request).person.id) }),
  )

  app.post(
    '/calendar',
    {
      config,
      schema: {
        tags,
        summary: 'Make my calendar feed; the one before it ends',
        description:
          'Its address is shown here and never again: whoever knows it reads the feed without a sign-in.',
        body: z.strictObject({}),
        response: { 200: MadeCalendar },
      },
    },
    async (request) => {
      const { secret, madeAt } = feeds.make(signedIn(request).person.id)
      note(byName(request), say('{by} made a calendar feed.', { by: byName(request) }))
      return { madeAt, address: `${address()}/calendar/${secret}.ics` }
    },
  )

  app.delete(
    '/calendar',
    { config, schema: { tags, summary: 'End my calendar feed', response: { 204: z.undefined() } } },
    async (request, reply) => {
      if (!feeds.end(signedIn(request).person.id))
        return reply.problem(404, 'noSuchFeed', say('You have no calendar feed.'))
      note(byName(request), say('{by} ended their calendar feed.', { by: byName(request) }))
      return reply.code(204).send()
    },
  )
}

/**
 * The feed itself, outside of /api: calendars ask for it without a sign-in, by an address that cannot be guessed (X1).
 * A wrong one looks like any path that is not there, and slows whoever tries.
 */
export const calendarFeedRoutes: Routes<Doors> = async (app, doors) => {
  const { desk, people, clock, random, address, linkTries, noteWrongTry } = doors
  const feeds = calendarFeeds(people, clock, random)

  app.get(
    '/calendar/:file',
    {
      config: { public: true },
      schema: {
        tags,
        summary: 'A calendar feed (iCalendar, RFC 5545)',
        params: z.strictObject({ file: z.string().max(200) }),
        response: { 200: z.string() },
      },
      // What comes is text already.
      serializerCompiler: () => String,
    },
    async (request, reply) => {
      const { waitMs, wrongTries } = linkTries.admit(request.ip, null)
      if (waitMs > 0) return tooManyTries(reply, waitMs)
      const { file } = request.params
      const person = file.endsWith('.ics') ? feeds.find(file.slice(0, -'.ics'.length)) : null
      if (person === null) {
        noteWrongTry(request.ip, wrongTries, 'a calendar feed by an address that is none')
        return reply.problem(404, 'noSuchPath', say('There is nothing at this path.'))
      }
      linkTries.succeeded(request.ip, null)
      // The invented household's tasks must not come to stand in anybody's calendar.
      if (desk.practice().running)
        return reply.problem(
          503,
          'practising',
          say('The practice household runs; the feed comes back after it.'),
        )
      void reply.header('cache-control', 'private, no-cache').type('text/calendar; charset=utf-8')
      return desk.calendar(`${address()}/day`)
    },
  )
}
