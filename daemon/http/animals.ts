import { z } from 'zod'
import { Animal } from '../../schemas/animal.ts'
import { AnimalId } from '../../schemas/ids.ts'
import type { Desk } from '../ports/desk.ts'
import { idDiffers, statusOfEdit } from './answer.ts'
import { byName } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const params = z.strictObject({ animal: AnimalId })
const tags = ['animals']

/** Animals: made, changed, removed; the gate stands before who goes down (S1). */
export const animalRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.put(
    '/animals/:animal',
    {
      schema: {
        tags,
        summary: 'Make or change an animal',
        description: '`anyway` is the reason for sending it down though the gate is shut (S1).',
        params,
        querystring: z.strictObject({ anyway: z.string().trim().min(1, 'say why').max(300).optional() }),
        body: Animal,
        response: { 200: Animal },
      },
    },
    async (request, reply) => {
      if (request.body.id !== request.params.animal) return idDiffers(reply)
      const outcome = desk.saveAnimal(request.body, byName(request), request.query.anyway)
      return outcome.ok ? outcome.value : reply.refuse(outcome, statusOfEdit)
    },
  )

  app.delete(
    '/animals/:animal',
    { schema: { tags, summary: 'Remove an animal', params, response: { 204: z.undefined() } } },
    async (request, reply) => {
      const outcome = desk.removeAnimal(request.params.animal, byName(request))
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfEdit)
    },
  )
}
