import type { FastifyReply, FastifyRequest } from 'fastify'
import { minutes } from '../../schemas/amounts.ts'
import { Answer, AnswerNow, AnswerShelve, AnswerTend } from '../../schemas/telling-now.ts'
import type { Answers } from '../ports/answers.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Doors } from './doors/doors.ts'
import { statusOfLink } from './doors/invitations.ts'
import { tooManyTries } from './doors/wrong-tries.ts'
import type { Routes } from './zod.ts'

type Refusal = Extract<ReturnType<Answers[keyof Answers]>, { ok: false }>['error']

const statusOf = {
  ...statusOfLink,
  noSuchAlarm: 404,
  noSuchPlace: 404,
  noSuchChannel: 404,
  earlierOccurrence: 409,
  notNow: 409,
  tooLong: 422,
  keeperOnly: 403,
} as const satisfies Record<Refusal, number>

const config = { public: true } as const
const tags = ['answers']
const response = { 200: AnswerNow }

/**
 * For whoever holds the link of a message, signed in or not. The token comes in the body: addresses are kept in logs
 * and histories, bodies are not (X4).
 */
export const answerRoutes: Routes<Doors> = async (app, { desk, linkTries, noteWrongTry }) => {
  const { answers } = desk

  /** Wrong tokens of one address are slowed; every other outcome shows that the link is one of ours. */
  const ask = <Reply extends FastifyReply>(
    request: FastifyRequest,
    reply: Reply,
    act: () => Outcome<AnswerNow, Refusal>,
  ): AnswerNow | Reply => {
    const { waitMs, wrongTries } = linkTries.admit(request.ip, null)
    if (waitMs > 0) return tooManyTries(reply, waitMs)
    let isOurs = true
    try {
      const outcome = act()
      if (outcome.ok) return outcome.value
      isOurs = outcome.error !== 'badLink'
      if (!isOurs) noteWrongTry(request.ip, wrongTries, 'an answer by a link that is none')
      return reply.refuse(outcome, statusOf)
    } finally {
      if (isOurs) linkTries.succeeded(request.ip, null)
    }
  }

  app.post(
    '/answer',
    { config, schema: { tags, summary: 'What a link is about, and how it stands', body: Answer, response } },
    async (request, reply) => ask(request, reply, () => answers.look(request.body.token)),
  )

  app.post(
    '/answer/acknowledge',
    { config, schema: { tags, summary: 'I have seen this and will see to it', body: Answer, response } },
    async (request, reply) => ask(request, reply, () => answers.acknowledge(request.body.token)),
  )

  app.post(
    '/answer/tend',
    { config, schema: { tags, summary: 'I am opening this (A3)', body: AnswerTend, response } },
    async (request, reply) => {
      const { token, minutes: count } = request.body
      return ask(request, reply, () => answers.tend(token, minutes(count)))
    },
  )

  app.post(
    '/answer/shelve',
    { config, schema: { tags, summary: 'Quiet for a while (A2)', body: AnswerShelve, response } },
    async (request, reply) => {
      const { token, minutes: count, reason } = request.body
      return ask(request, reply, () => answers.shelve(token, minutes(count), reason))
    },
  )

  app.post(
    '/answer/rang',
    { config, schema: { tags, summary: 'The test rang', body: Answer, response } },
    async (request, reply) => ask(request, reply, () => answers.rang(request.body.token)),
  )
}
