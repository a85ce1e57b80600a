import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { minutes } from '../../schemas/amounts.ts'
import { PictureId } from '../../schemas/ids.ts'
import type { Desk } from '../ports/desk.ts'
import type { PictureType } from '../ports/season.ts'
import { statusOfDiary } from './diary.ts'
import { everyone } from './doors/guard.ts'
import type { Routes } from './zod.ts'
import { say } from '../../shared/words/say.ts'

/** The page draws a photograph on a canvas of at most 1600 pixels a side: a JPEG of that is under 0.5 MB (X3). */
export const pictureBytes = 1_048_576

const types = ['image/jpeg', 'image/png', 'image/webp'] as const satisfies readonly PictureType[]

const params = z.strictObject({ picture: PictureId })
const tags = ['diary']
/** Bytes as they are: nothing to check on the way out, and text for the API document. */
const Bytes = z.any().meta({ type: 'string', format: 'binary' })

export const pictureRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.removeAllContentTypeParsers() // of these two routes alone
  app.addContentTypeParser(
    [...types],
    { parseAs: 'buffer', bodyLimit: pictureBytes },
    (_request, body, done) => done(null, body),
  )
  app.addContentTypeParser('*', (_request, _body, done) => done(notPicture()))

  app.put(
    '/pictures/:picture',
    {
      bodyLimit: pictureBytes,
      config: { roles: everyone, tokens: 'act', arrivesWithin: minutes(1) },
      schema: {
        tags,
        summary: 'Send a picture of an animal or a place, up to 1 MiB, before the entry that names it',
        description:
          'The body is the picture itself, as image/jpeg, image/png or image/webp. It is kept as it comes: whoever sends it takes out what it says of its maker and place. Sent twice it is one; one that no entry names is forgotten after a day.',
        params,
        response: { 204: z.undefined() },
      },
    },
    async (request, reply) => {
      const type = typeOf(request)
      if (type === null || !(request.body instanceof Uint8Array)) throw notPicture()
      const outcome = desk.savePicture(request.params.picture, { type, bytes: request.body })
      return outcome.ok ? reply.code(204).send() : reply.refuse(outcome, statusOfDiary)
    },
  )

  app.get(
    '/pictures/:picture',
    {
      schema: {
        tags,
        summary: 'A picture',
        params,
        querystring: z.strictObject({}),
        response: {
          200: {
            description: 'As it was sent',
            content: Object.fromEntries(types.map((type) => [type, { schema: Bytes }])),
          },
        },
      },
    },
    async (request, reply) => {
      const { picture: id } = request.params
      const picture = desk.picture(id)
      if (picture === null) return reply.problem(404, 'noSuchPicture', say('There is no such picture.'))
      void reply
        .type(picture.type)
        // an id stands for the same bytes for good; not for proxies, which know nobody's sign-in
        .header('cache-control', 'private, max-age=86400')
        .header('content-disposition', `inline; filename="${id}.${picture.type.slice('image/'.length)}"`)
      return reply.send(Buffer.from(picture.bytes))
    },
  )
}

const typeOf = ({ headers }: FastifyRequest): PictureType | null => {
  const said = (headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase()
  return types.find((type) => type === said) ?? null
}

const notPicture = () => Object.assign(new Error('not a picture'), { statusCode: 415, code: 'notPicture' })
