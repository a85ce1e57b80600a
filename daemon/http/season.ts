import { z } from 'zod'
import { Animal, PlanWish } from '../../schemas/animal.ts'
import { AnimalId } from '../../schemas/ids.ts'
import { AnimalStanding, PlanProposal, SeasonNow } from '../../schemas/season.ts'
import type { Desk } from '../ports/desk.ts'
import type { PlanRefusal } from '../ports/season.ts'
import { byName, everyone } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ animal: AnimalId })
const tags = ['season']
/** Within a lifetime: what lies further away is a slip of the hand. */
const Wish = PlanWish.refine(({ on }) => on >= '1990-01-01' && on < '2190-01-01', {
  message: 'expected a day between 1990 and 2190',
  path: ['on'],
})
const Anyway = z.string().trim().min(1, 'say why').max(300)

/** 409: true now, may pass · 422: may never be so, or only with a reason. */
const statusOf = {
  noSuchAnimal: 404,
  noSuchPlace: 422,
  noSuchSpecies: 422,
  mustNotGoDown: 422,
  bandsConflict: 422,
  tooMany: 409,
  pastCap: 422,
  notReady: 409,
  nothingPlanned: 409,
  notDown: 409,
  notStored: 503,
} as const satisfies Record<PlanRefusal, number>

export const seasonRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/season',
    {
      schema: {
        tags,
        summary: 'The winter of every animal, and who must be woken first',
        querystring: z.strictObject({}),
        response: { 200: SeasonNow },
      },
    },
    async () => desk.season(),
  )

  app.get(
    '/animals/:animal/standing',
    {
      schema: {
        tags,
        summary: 'Everything that is judged of one animal now',
        params,
        querystring: z.strictObject({}),
        response: { 200: AnimalStanding },
      },
    },
    async (request, reply) => {
      const outcome = desk.standing(request.params.animal)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/animals/:animal/proposal',
    {
      // It only reckons: whoever may look may ask.
      config: { roles: everyone, tokens: 'look' },
      schema: {
        tags,
        summary: 'A winter reckoned back from a wish; nothing is kept',
        params,
        body: Wish,
        response: { 200: PlanProposal },
      },
    },
    async (request, reply) => {
      const outcome = desk.propose(request.params.animal, request.body)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.put(
    '/animals/:animal/draft',
    {
      schema: {
        tags,
        summary: 'The winter in preparation; empty steps: none',
        description: '`anyway` is the reason for a plan that is past a cap (S3).',
        params,
        querystring: z.strictObject({ anyway: Anyway.optional() }),
        body: z.strictObject({ steps: Animal.shape.draft, wish: Wish.nullable() }),
        response: { 200: Animal },
      },
    },
    async (request, reply) => {
      const outcome = desk.saveDraft(
        request.params.animal,
        request.body,
        byName(request),
        request.query.anyway,
      )
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/animals/:animal/cooling',
    {
      schema: {
        tags,
        summary: 'Begin cooling: the draft comes into force, through the gate',
        description: '`anyway` is the reason for beginning though something is missing (S1).',
        params,
        body: z.strictObject({ anyway: Anyway.optional() }),
        response: { 200: Animal },
      },
    },
    async (request, reply) => {
      const outcome = desk.beginCooling(request.params.animal, byName(request), request.body.anyway)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )

  app.post(
    '/animals/:animal/warming',
    {
      schema: {
        tags,
        summary: 'Begin warming: cooling or hold ends now',
        params,
        body: z.strictObject({ why: z.string().trim().min(1, 'say why').max(300) }),
        response: { 200: Animal },
      },
    },
    async (request, reply) => {
      const outcome = desk.beginWarming(request.params.animal, byName(request), request.body.why)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOf)
    },
  )
}
