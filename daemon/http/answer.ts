import type { FastifyReply } from 'fastify'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import { problemOf, sendProblem } from './problem.ts'
import { say } from '../../shared/words/say.ts'

declare module 'fastify' {
  interface FastifyReply {
    /** Answers with a problem (RFC 9457). */
    problem(status: number, code: string, detail: string): this
    /** Answers with what the desk refused. A refusal without a status does not compile. */
    refuse<Code extends string>(
      refusal: Refused<Code>,
      statusOf: Readonly<Record<NoInfer<Code>, number>>,
    ): this
  }
}

type Refused<Code extends string> = Extract<Outcome<never, Code>, { ok: false }>

/** 409: true now, may pass · 422: names something that is not there, or may never be so. */
export const statusOfEdit = {
  inUse: 409,
  noSuchParent: 422,
  noSuchPlace: 422,
  noSuchSpecies: 422,
  bandsConflict: 422,
  loop: 422,
  tooMany: 409,
  mustNotGoDown: 422,
  noSuchContact: 422,
  noSuchChannel: 422,
  noSuchPerson: 422,
  badChannel: 422,
  notReady: 409,
  badPlan: 422,
  notStored: 503,
} as const satisfies Record<EditRefusal, number>

/** On removing, the place that is missing is the one in the path. */
export const statusOfRemoval = { ...statusOfEdit, noSuchPlace: 404 } as const

/** A body is saved under its own id, so the path must say the same. */
export const idDiffers = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(400, 'idDiffers', say('The id in the path is not the id in the body.'))

export function problem(this: FastifyReply, status: number, code: string, detail: string): FastifyReply {
  return sendProblem(this, problemOf(status, code, detail))
}

export function refuse(
  this: FastifyReply,
  refusal: Refused<string>,
  statusOf: Readonly<Record<string, number>>,
): FastifyReply {
  const status = statusOf[refusal.error]
  if (status === undefined) throw new Error(`no status for the refusal ${refusal.error}`)
  return sendProblem(this, problemOf(status, refusal.error, refusal.sentence))
}
