import { z } from 'zod'
import { Acknowledge, Shelve, TakeOutOfService } from '../../schemas/acts.ts'
import { Alarm } from '../../schemas/alarm.ts'
import { AlarmsNow } from '../../schemas/api.ts'
import { AlarmId } from '../../schemas/ids.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { AlarmRefusal } from '../ports/alarms.ts'
import type { Desk } from '../ports/desk.ts'
import { byName, everyone } from './doors/guard.ts'
import type { Routes } from './zod.ts'
import { say } from '../../shared/words/say.ts'

const statusOf = {
  noSuchAlarm: 404,
  earlierOccurrence: 409,
  notNow: 409,
  tooLong: 422,
} as const satisfies Record<AlarmRefusal, number>

const params = z.strictObject({ alarm: AlarmId })
const NoBody = z.strictObject({}).optional()
const tags = ['alarms']

/** What stands, and what may be done about it (A1 to A3). */
export const alarmRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/alarms',
    {
      schema: {
        tags,
        summary: 'What stands, and what has happened',
        querystring: z.strictObject({}),
        response: { 200: AlarmsNow },
      },
    },
    async () => desk.alarms(),
  )

  app.post(
    '/alarms/:alarm/acknowledge',
    {
      config: { roles: everyone, tokens: 'act' },
      schema: {
        tags,
        summary: 'I have seen this raising and will see to it',
        params,
        body: Acknowledge,
        response: { 200: Alarm },
      },
    },
    async (request, reply) => {
      const outcome = desk.acknowledge(request.params.alarm, request.body.occurrence, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/alarms/:alarm/shelve',
    { schema: { tags, summary: 'Quiet for a while (A2)', params, body: Shelve, response: { 200: Alarm } } },
    async (request, reply) => {
      const { occurrence, minutes: count, reason } = request.body
      const seen = desk.alarms().standing.find(({ id }) => id === request.params.alarm)
      if (occurrence !== undefined && seen !== undefined && seen.occurrence !== occurrence) {
        return reply.problem(
          statusOf.earlierOccurrence,
          'earlierOccurrence',
          say('This alarm was raised again since you saw it.'),
        )
      }
      const outcome = desk.shelve(request.params.alarm, minutes(count), reason, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/alarms/:alarm/unshelve',
    { schema: { tags, summary: 'Ends the quiet', params, body: NoBody, response: { 200: Alarm } } },
    async (request, reply) => {
      const outcome = desk.unshelve(request.params.alarm, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/alarms/:alarm/out-of-service',
    {
      schema: {
        tags,
        summary: 'Quiet until put back',
        params,
        body: TakeOutOfService,
        response: { 200: Alarm },
      },
    },
    async (request, reply) => {
      const outcome = desk.takeOutOfService(request.params.alarm, request.body.reason, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/alarms/:alarm/return-to-service',
    { schema: { tags, summary: 'Puts it back', params, body: NoBody, response: { 200: Alarm } } },
    async (request, reply) => {
      const outcome = desk.returnToService(request.params.alarm, byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )
}
